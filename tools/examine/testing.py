"""The tests of the build folder that tools/mutate and tools/coverage share: what there is, running one, what it reached."""

import json
import os
import resource
import shutil
import signal
import subprocess
import tempfile
import time
from pathlib import Path

LAYERS = ["words", "trade", "files", "shop", "sheet", "quality", "pack", "store", "search", "diagnosis", "job"]


class Test:
    def __init__(self, name, command):
        self.name = name
        self.command = command


def all_tests(build):
    """Every test program that CTest knows, by name; the rules about the project itself run no layer."""
    said = subprocess.run(["ctest", "--show-only=json-v1"], cwd=build, check=True, capture_output=True, text=True)
    tests = []
    for test in json.loads(said.stdout)["tests"]:
        if "command" in test and not test["name"].startswith("house/"):
            tests.append(Test(test["name"], test["command"]))
    return sorted(tests, key=lambda test: test.name)


def library(build, layer):
    return build / "index" / layer / f"libbaylore_{layer}.so"


class Fails(Exception):
    """A test that fails although nobody changed anything; what it counted lies in the folder all the same."""

    def __init__(self, folder, said):
        super().__init__(said)
        self.folder = folder


class Outcome:
    def __init__(self, code, seconds, timed_out, said):
        self.code = code
        self.seconds = seconds  # of processor time
        self.timed_out = timed_out
        self.said = said

    @property
    def passed(self):
        return self.code == 0 and not self.timed_out


def run(test, build, environment=None, processor_limit=3600, arguments=()):
    """One test with folders of its own. The limit is of processor time, as others may use the machine; by the clock ten
    times as much, for what waits and never works. Memory is bounded for what never stops asking for it."""
    # In memory where there is such a folder: the tests flush a great deal, and nobody here measures the disk.
    memory = "/dev/shm" if os.access("/dev/shm", os.W_OK) else None
    scratch = tempfile.mkdtemp(prefix="baylore-examine-", dir=memory)
    os.chmod(scratch, 0o755)  # a test becomes somebody else to see what is closed to him
    own = dict(os.environ, TMPDIR=scratch, XDG_STATE_HOME=f"{scratch}/state", XDG_CACHE_HOME=f"{scratch}/cache")
    own.update(environment or {})

    def limits():
        resource.setrlimit(resource.RLIMIT_CPU, (processor_limit, processor_limit + 5))
        resource.setrlimit(resource.RLIMIT_AS, (8 << 30, 8 << 30))
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))

    begun = time.monotonic()
    with open(f"{scratch}/said", "wb") as said:
        process = subprocess.Popen([*test.command, *arguments], cwd=build / "tests", env=own, stdin=subprocess.DEVNULL,
                                   stdout=said, stderr=subprocess.STDOUT, preexec_fn=limits, start_new_session=True)
    timed_out = False
    while True:
        pid, status, used = os.wait4(process.pid, os.WNOHANG)
        if pid != 0:
            break
        if time.monotonic() - begun > 10 * processor_limit and not timed_out:
            timed_out = True
            os.killpg(process.pid, signal.SIGKILL)
        time.sleep(0.005)
    process.returncode = code = os.waitstatus_to_exitcode(status)
    try:
        os.killpg(process.pid, signal.SIGKILL)  # what it started and left behind
    except ProcessLookupError:
        pass
    with open(f"{scratch}/said", errors="replace") as said:
        outcome = Outcome(code, used.ru_utime + used.ru_stime, timed_out or code == -signal.SIGXCPU, said.read())
    shutil.rmtree(scratch, ignore_errors=True)
    return outcome


def profile(test, build):
    """Runs a test, unless it ran since everything was built, and gives the folder with what it counted and its seconds."""
    folder = build / "reached" / test.name
    note = folder / "seconds"
    newest = max(os.path.getmtime(path) for path in
                 [test.command[0], build / "tools/cli/baylore", *(library(build, layer) for layer in LAYERS)])
    if note.exists() and note.stat().st_mtime > newest:
        return folder, float(note.read_text())
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    outcome = run(test, build, {"LLVM_PROFILE_FILE": f"{folder}/%c%m.profraw"})
    counted = [str(path) for path in folder.glob("*.profraw")]
    if counted:
        subprocess.run(["llvm-profdata", "merge", "-sparse", "-failure-mode=all", "-o", str(folder / "counts"), *counted],
                       check=True, stderr=subprocess.DEVNULL)
        for path in counted:
            os.unlink(path)
    if not outcome.passed:
        raise Fails(folder, f"{test.name} fails as it is:\n{outcome.said[-3000:]}")
    note.write_text(f"{outcome.seconds:.2f}\n")
    return folder, outcome.seconds
