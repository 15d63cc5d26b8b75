"""Check the tables of one order and gather every fault with its key, so that all of them are told at once."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from trimkit.mechanics.balance import swingweight_oz_in
from trimkit.parts.catalogue import Catalogue
from trimkit.parts.errors import BenchError, ModelError, Place
from trimkit.parts.faults import faults_of, names_offered
from trimkit.trim.practice import BenchPractice

Part = TypeVar("Part")


class OrderChecker:
    """Checks the tables of one order and gathers every fault; without a catalogue it leaves out the names of parts.

    practice: the figures of the bench that the order is checked with.
    """

    def __init__(self, file: str, catalogue: Catalogue | None) -> None:
        self.file, self.catalogue, self.faults = file, catalogue, list[BenchError]()
        self.practice = BenchPractice()

    def table(self, model: type[Part], where: str, values: Any) -> Part | None:
        """Return one table read by its model, or None with its faults gathered; where: what its keys begin with."""
        assert issubclass(model, BaseModel)
        if not isinstance(values, Mapping):
            self.fault(
                where, f"{where.strip()} is not a table", "a table of names and values", "write it as in the example"
            )
            return None
        try:
            return model.model_validate(values)
        except ValidationError as error:
            self.faults += faults_of(model, error, lambda key: Place(self.file, key=f"{where}{key}"))
            return None

    def fault(self, key: str, given: str, allowed: str, next_step: str) -> None:
        """Add one fault at a key."""
        self.faults.append(BenchError(given, allowed, next_step, Place(self.file, key=key)))

    def named(self, key: str, name: str, parts: Mapping[str, Part], what: str) -> Part | None:
        """Return the part of this name, or None with the fault at its key."""
        if name not in parts:
            self.fault(
                key,
                f"there is no {what} {name!r}",
                names_offered(name, parts),
                f"correct the name, or add the {what} to the data",
            )
        return parts.get(name)

    def swingweight(self, key: str, text: str | None) -> None:
        """Add a fault if a wanted swingweight is not on the letter scale."""
        try:
            swingweight_oz_in(text or "D0")
        except ModelError:
            allowed = "a letter A to G and points 0 to 9.9, such as D0, D1.5 or C9"
            self.fault(key, f"the wanted swingweight is {text!r}", allowed, "write it so, or leave it out")

    def attempt(self, key: str, make: Callable[[], Part]) -> Part | None:
        """Return what ``make`` returns, or None with its refusal as a fault at the key."""
        try:
            return make()
        except BenchError as error:
            self.fault(key, error.given, error.allowed, error.next_step)
            return None
