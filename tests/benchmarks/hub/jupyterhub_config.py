import asyncio
import os
import resource
import shutil
import subprocess
import sys
from importlib.resources import files
from pathlib import Path

from jupyterhub.spawner import LocalProcessSpawner
from jupyterhub.utils import wait_for_server

MEMORY_BYTES = 2 * 2**30  # of address space, for each process of a student
CPU_S = 3600  # of processor time, for each process of a student
PROCESSES = 200  # and threads, for all of a student
IDLE_S = 1800  # a kernel without a page or work is stopped after this long, then its server
READY = Path("/srv/trimkit-class")  # what each student starts with, readable by all

lessons = files("trimkit") / "_notebooks"
shutil.copytree(lessons, READY / "lessons", ignore=shutil.ignore_patterns("instructor_*"), dirs_exist_ok=True)
settings = READY / ".jupyter/lab/user-settings/@jupyterlab/apputils-extension"
settings.mkdir(parents=True, exist_ok=True)  # next line: no question about news over the first lab
(settings / "notification.jupyterlab-settings").write_text('{"fetchNews": "false", "checkForUpdates": false}')
fonts = os.environ | {"MPLCONFIGDIR": str(READY / ".cache/matplotlib")}  # looked up once, not by every student
subprocess.run([sys.executable, "-c", "import matplotlib.font_manager"], env=fonts, check=True)


class ClassSpawner(LocalProcessSpawner):
    """Servers start in turn, one for each core: all at once, everybody would wait for the last."""

    turn = asyncio.Semaphore(os.cpu_count())

    async def start(self):
        async with self.turn:
            ip, port = await super().start()
            await wait_for_server("127.0.0.1", port, timeout=120)
        return ip, port

    def make_preexec_fn(self, name):
        become_the_student = super().make_preexec_fn(name)

        def limited():
            resource.setrlimit(resource.RLIMIT_AS, (MEMORY_BYTES, MEMORY_BYTES))
            resource.setrlimit(resource.RLIMIT_CPU, (CPU_S, CPU_S))
            resource.setrlimit(resource.RLIMIT_NPROC, (PROCESSES, PROCESSES))
            os.nice(5)  # the hub and its proxy come first
            become_the_student()

        return limited


c = get_config()
c.JupyterHub.bind_url = "http://127.0.0.1:8000"  # for the room: https://:8000, with ssl_cert and ssl_key
c.JupyterHub.spawner_class = ClassSpawner
c.PAMAuthenticator.allowed_groups = {"students", "instructors"}  # of this machine
c.PAMAuthenticator.admin_groups = {"instructors"}
c.Spawner.start_timeout = 600  # the last in a class of 25 waits for its turn
c.Spawner.http_timeout = 120
c.Spawner.default_url = "/lab"  # a lesson by itself: .../hub/user-redirect/doc/tree/02_bore_depth.ipynb
c.Spawner.notebook_dir = "~/lessons"
c.Spawner.cmd = ["sh", "-c", f'[ -e lessons ] || cp -r {READY}/. . ; exec jupyterhub-singleuser "$@"', "sh"]
c.Spawner.environment = {"OPENBLAS_NUM_THREADS": "1"}
c.Spawner.args = [
    f"--MappingKernelManager.cull_idle_timeout={IDLE_S}",
    f"--MappingKernelManager.cull_interval={max(IDLE_S // 10, 5)}",
    "--KernelManager.transport=ipc",  # no port that other accounts could try
    f"--ServerApp.shutdown_no_activity_timeout={IDLE_S}",
]
