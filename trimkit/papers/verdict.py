"""What the finished club measured, beside what was predicted for it: differences, tolerances, and a verdict."""

from __future__ import annotations

from dataclasses import dataclass

from pydantic import BaseModel, ValidationError

from trimkit.mechanics.balance import POINT_OZ_IN, swingweight_oz_in
from trimkit.papers.record.model import Cuts, Finding, Measured, Predicted
from trimkit.parts import units
from trimkit.parts.errors import BenchError, DataFileError, Place
from trimkit.parts.faults import faults_of
from trimkit.parts.sources import Source, Standing

_RULER = Source("one mark of a ruler in sixteenths", Standing.FROM_MEMORY)
_MATCHED = Source("sets are matched to within about 2 cpm", Standing.FROM_MEMORY)
_POINT = Source("one point of the letter scale", Standing.FROM_MEMORY)
_SHOP = Source("chosen here, to be set to the shop's own", Standing.CHOSEN)


@dataclass(frozen=True)
class VerdictTolerances:
    """How far a finished club may lie from its prediction, either way, and where each figure comes from.

    playing_length_in: in; frequency_cpm: cpm; swingweight_points: points of the letter scale; total_mass_g: g.
    """

    playing_length_in: float = 1 / 16
    frequency_cpm: float = 2.0
    swingweight_points: float = 1.0
    total_mass_g: float = 3.0
    length_source: Source = _RULER
    frequency_source: Source = _MATCHED
    swingweight_source: Source = _POINT
    mass_source: Source = _SHOP


def measured_club(
    *,
    playing_length: str | float | None = None,
    frequency_cpm: float | None = None,
    swingweight: str | float | None = None,
    total_mass: str | float | None = None,
    remark: str = "",
) -> Measured:
    """Return what a finished club measured, as people write it; None for what nobody measured.

    playing_length: inches, or text such as ``"37 1/2"`` or ``"95.3 cm"``; swingweight: ``"D1.5"``, or oz in;
    total_mass: grams, or text such as ``"14.6 oz"``. Raises BenchError for a text that cannot be read and
    DataFileError holding every value that no club can have.

    >>> measured_club(playing_length="37 1/2", swingweight="D0").swingweight_oz_in
    213.5
    """
    values = {
        "playing_length_in": units.length_in(playing_length) if isinstance(playing_length, str) else playing_length,
        "frequency_cpm": frequency_cpm,
        "swingweight_oz_in": swingweight_oz_in(swingweight) if isinstance(swingweight, str) else swingweight,
        "total_mass_g": units.mass_g(total_mass) if isinstance(total_mass, str) else total_mass,
        "remark": remark,
    }
    try:
        return Measured.model_validate(values)
    except ValidationError as error:
        raise DataFileError(
            tuple(faults_of(Measured, error, lambda name: Place("the measurements", key=name)))
        ) from None


def written_faults(error: ValidationError, model: type[BaseModel]) -> DataFileError:
    """Return what the record's model refused as faults with their places."""
    faults = [
        BenchError(
            detail["msg"], "what record.schema.json says", "correct it", Place(model.__name__, key=str(detail["loc"]))
        )
        for detail in error.errors(include_input=False, include_url=False)
    ]
    return DataFileError(tuple(faults))


def findings(
    predicted: Predicted, cuts: Cuts, measured: Measured, tolerances: VerdictTolerances
) -> tuple[Finding, ...]:
    """Return each measured value beside its prediction: difference = measured - predicted, in the value's unit."""
    lines = (
        (
            "playing length",
            "in",
            cuts.playing_length_in,
            measured.playing_length_in,
            tolerances.playing_length_in,
            tolerances.length_source,
        ),
        (
            "frequency",
            "cpm",
            predicted.frequency_cpm,
            measured.frequency_cpm,
            tolerances.frequency_cpm,
            tolerances.frequency_source,
        ),
        (
            "swingweight",
            "oz in",
            predicted.swingweight_oz_in,
            measured.swingweight_oz_in,
            tolerances.swingweight_points * POINT_OZ_IN,
            tolerances.swingweight_source,
        ),
        (
            "total mass",
            "g",
            predicted.total_mass_g,
            measured.total_mass_g,
            tolerances.total_mass_g,
            tolerances.mass_source,
        ),
    )
    return tuple(
        Finding(
            quantity=quantity,
            unit=unit,
            predicted=foreseen,
            measured=found,
            difference=found - foreseen,
            tolerance=limit,
            tolerance_source=source,
            within=abs(found - foreseen) <= limit + 1e-9,
        )
        for quantity, unit, foreseen, found, limit, source in lines
        if found is not None
    )
