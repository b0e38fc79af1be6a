"""The way from a bare machine to a running command, without touching this machine."""

import subprocess
import sys
from subprocess import CompletedProcess

import pytest

from config import bootstrap


@pytest.fixture
def project(tmp_path, monkeypatch):
    """A project in a folder whose name has a space in it, with requirements of its own and no environment."""
    root = tmp_path / "the plant"
    (root / ".ci").mkdir(parents=True)
    monkeypatch.setattr(bootstrap, "ROOT", root)
    monkeypatch.setattr(bootstrap, "VENV", root / ".venv")
    monkeypatch.setattr(bootstrap, "REQUIREMENTS", root / "requirements.txt")
    monkeypatch.setattr(bootstrap, "TEST_REQUIREMENTS", root / ".ci" / "requirements-dev.txt")
    (root / "requirements.txt").write_text("# what the site needs\nDjango>=5.2,<5.3\n")
    (root / ".ci" / "requirements-dev.txt").write_text("-r ../requirements.txt\npytest>=9\n")
    return root


@pytest.fixture
def programs(monkeypatch):
    """Stand-ins for the programs that are run: a list of what was asked for, and who fails."""

    class Programs(list):
        def __init__(self):
            self.failing = {}

        def run(self, command, env=None):
            self.append(" ".join(command))
            output = next((text for part, text in self.failing.items() if part in self[-1]), None)
            return CompletedProcess(command, 0 if output is None else 1, output or "")

        def asked(self, part):
            return [line for line in self if part in line]

    programs = Programs()
    monkeypatch.setattr(bootstrap, "run", programs.run)
    return programs


@pytest.fixture
def bare(monkeypatch):
    """A Debian on which nothing is installed besides Python, and the user is root."""
    monkeypatch.setattr(bootstrap.importlib.util, "find_spec", lambda name: None)
    monkeypatch.setattr(bootstrap, "loads", lambda library: False)
    monkeypatch.setattr(bootstrap.shutil, "which", lambda name: "/usr/bin/apt-get" if name == "apt-get" else None)
    monkeypatch.setattr(bootstrap.os, "geteuid", lambda: 0)
    monkeypatch.delenv("INSTALL_PACKAGES", raising=False)


@pytest.mark.parametrize(
    ("requirement", "expected"),
    [
        pytest.param("Django>=5.2,<5.3", True, id="within its bounds"),
        pytest.param("django", True, id="no bounds, other case"),
        pytest.param("psycopg[binary]>=3.3", True, id="with an extra"),
        pytest.param("Django>=6", False, id="too old"),
        pytest.param("Django<5", False, id="too new"),
        pytest.param("Django==5.2", False, id="not that very version"),
        pytest.param("a-distribution-that-nobody-made>=1", False, id="absent"),
    ],
)
def test_is_installed_holds_the_version_to_the_bounds(requirement, expected):
    assert bootstrap.is_installed(requirement) is expected


def test_missing_requirements_follows_the_file_that_is_included(project):
    (project / "requirements.txt").write_text("absent-here>=1  # a reason\nDjango\n")
    (project / ".ci" / "requirements-dev.txt").write_text("-r ../requirements.txt\n\nalso-absent[extra]==2\n")

    missing = list(bootstrap.missing_requirements(bootstrap.TEST_REQUIREMENTS))

    assert missing == ["absent-here", "also-absent"]


@pytest.mark.parametrize("command", ["bench", "demo", "play", "test", "work"])
def test_commands_on_made_up_data_run_on_the_demo_settings(command):
    environ = {}

    bootstrap.set_environment(command, [], environ)

    assert environ == {"DEMO": "1"}


def test_other_commands_keep_the_settings_of_the_plant():
    environ = {}

    bootstrap.set_environment("migrate", ["--database-url", "sqlite:///x"], environ)

    assert environ == {}


@pytest.mark.parametrize(
    "options", [["--port", "8001", "--database-url", "sqlite:///x"], ["--database-url=sqlite:///x", "--no-serve"]]
)
def test_the_demo_s_database_is_chosen_before_the_settings_load(options):
    environ = {"DATABASE_URL": "sqlite:///other", "DEMO": "0"}

    bootstrap.set_environment("demo", options, environ)

    assert environ == {"DATABASE_URL": "sqlite:///x", "DEMO": "0"}


def test_prepare_leaves_a_python_that_has_everything_alone(project, programs, monkeypatch):
    monkeypatch.setattr(bootstrap.os, "execve", lambda *args: pytest.fail("started again"))

    bootstrap.prepare(["manage.py", "check"])

    assert programs == []
    assert not (project / ".venv").exists()


def test_prepare_makes_the_environment_and_starts_again_as_it_was_called(project, programs, monkeypatch):
    (project / "requirements.txt").write_text("absent-here>=1\n")
    (project / ".venv").mkdir()
    started = []
    monkeypatch.setattr(bootstrap, "install_system_packages", lambda: None)
    monkeypatch.setattr(bootstrap.sys, "orig_argv", ["python3", "manage.py", "check", "--deploy"])
    monkeypatch.setattr(
        bootstrap.os, "execve", lambda program, argv, environ: started.append((program, argv, environ))
    )

    bootstrap.prepare(["manage.py", "check", "--deploy"])

    [(program, argv, environ)] = started
    assert program == str(project / ".venv" / "bin" / "python")
    assert argv == [program, "manage.py", "check", "--deploy"]
    assert environ[bootstrap.RESTARTED] == "1"
    assert programs.asked(f"pip install --quiet --disable-pip-version-check --no-input -r {project}/requirements.txt")


def test_prepare_does_not_start_again_for_ever(project, programs, monkeypatch):
    (project / "requirements.txt").write_text("absent-here>=1\n")
    monkeypatch.setenv(bootstrap.RESTARTED, "1")

    with pytest.raises(SystemExit, match="still lacks absent-here"):
        bootstrap.prepare(["manage.py", "check"])

    assert bootstrap.RESTARTED not in bootstrap.os.environ  # or every program started from here would stop likewise


def test_an_environment_is_installed_into_once(project, programs):
    (project / ".venv").mkdir()

    bootstrap.make_environment(bootstrap.REQUIREMENTS)
    bootstrap.make_environment(bootstrap.REQUIREMENTS)

    assert len(programs.asked("pip install")) == 1


def test_an_environment_is_installed_into_again_when_the_requirements_change(project, programs):
    (project / ".venv").mkdir()
    bootstrap.make_environment(bootstrap.REQUIREMENTS)
    (project / "requirements.txt").write_text("Django>=5.2.19,<5.3\n")

    bootstrap.make_environment(bootstrap.REQUIREMENTS)

    assert len(programs.asked("pip install")) == 2


def test_what_the_tests_installed_serves_the_site_too_but_not_the_other_way(project, programs):
    (project / ".venv").mkdir()
    bootstrap.make_environment(bootstrap.TEST_REQUIREMENTS)
    bootstrap.make_environment(bootstrap.REQUIREMENTS)
    assert len(programs.asked("pip install")) == 1

    bootstrap.stamp(bootstrap.TEST_REQUIREMENTS).unlink()
    bootstrap.make_environment(bootstrap.TEST_REQUIREMENTS)

    assert len(programs.asked("pip install")) == 2


@pytest.mark.parametrize("state", ["none", "half-made"])
def test_an_environment_that_does_not_run_is_made_from_scratch(project, programs, state):
    if state == "half-made":
        (project / ".venv").mkdir()
        bootstrap.make_environment(bootstrap.REQUIREMENTS)
        programs.clear()
    else:
        (project / ".venv").mkdir()
    programs.failing = {"-c import": "No such file or directory"}

    bootstrap.make_environment(bootstrap.REQUIREMENTS)

    assert programs.asked(f"-m venv --clear {project}/.venv")
    assert programs.asked("pip install")


@pytest.mark.parametrize(
    ("output", "advice"),
    [
        ("WARNING: Retrying ... Temporary failure in name resolution", "is this machine offline"),
        ("OSError: [Errno 28] No space left on device", "The disk is full"),
        ("ERROR: ResolutionImpossible", "ResolutionImpossible"),
    ],
)
def test_a_failed_installation_says_what_to_do_and_leaves_no_stamp(project, programs, output, advice):
    (project / ".venv").mkdir()
    programs.failing = {"pip install": output}

    with pytest.raises(SystemExit, match=advice):
        bootstrap.make_environment(bootstrap.REQUIREMENTS)

    assert not bootstrap.is_stamped(bootstrap.REQUIREMENTS)


def test_root_installs_what_debian_keeps_apart(bare, programs, monkeypatch):
    bootstrap.install_system_packages()

    [install] = programs.asked("install")
    version = f"{sys.version_info.major}.{sys.version_info.minor}"
    assert install.endswith(f" python{version}-venv libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0")
    assert install.startswith("apt-get install -y --no-install-recommends")
    assert programs.index("apt-get update") < programs.index(install)


def test_nothing_is_installed_where_nothing_is_missing(bare, programs, monkeypatch):
    monkeypatch.setattr(bootstrap.importlib.util, "find_spec", lambda name: object())
    monkeypatch.setattr(bootstrap, "loads", lambda library: True)

    bootstrap.install_system_packages()

    assert programs == []


def test_without_root_the_line_to_run_is_printed_and_the_command_stops(bare, programs, monkeypatch, capsys):
    monkeypatch.setattr(bootstrap.os, "geteuid", lambda: 1000)

    with pytest.raises(SystemExit, match="Run that line"):
        bootstrap.install_system_packages()

    assert "sudo apt-get install --no-install-recommends python3" in capsys.readouterr().err
    assert not programs.asked("apt-get")


def test_without_root_a_site_without_pango_goes_on(bare, programs, monkeypatch, capsys):
    monkeypatch.setattr(bootstrap.os, "geteuid", lambda: 1000)
    monkeypatch.setattr(bootstrap.importlib.util, "find_spec", lambda name: object())

    bootstrap.install_system_packages()

    said = capsys.readouterr().err
    assert "sudo apt-get install --no-install-recommends libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0" in said
    assert "cannot make printed pages" in said


def test_apt_get_is_left_alone_where_the_environment_says_so(bare, programs, monkeypatch):
    monkeypatch.setenv("INSTALL_PACKAGES", "no")

    assert bootstrap.apt_install(["chromium"]) is False
    assert programs == []


def test_a_sudo_that_asks_for_a_password_is_not_used(bare, programs, monkeypatch):
    monkeypatch.setattr(bootstrap.os, "geteuid", lambda: 1000)
    monkeypatch.setattr(bootstrap.shutil, "which", lambda name: f"/usr/bin/{name}")
    programs.failing = {"sudo -n true": "sudo: a password is required"}

    assert bootstrap.root_prefix() is None

    programs.failing = {}
    assert bootstrap.root_prefix()[:2] == ["/usr/bin/sudo", "-n"]


def test_a_missing_browser_is_no_reason_to_stop(bare, programs, capsys):
    programs.failing = {"apt-get install": "E: Unable to locate package chromium"}

    bootstrap.offer_browser()

    said = capsys.readouterr().err
    assert "Unable to locate package chromium" in said
    assert "the tests that use a browser are skipped" in said


def test_a_program_that_is_not_there_counts_as_failed():
    assert bootstrap.run(["/nowhere/python", "-c", "import pip"]).returncode == 127


def test_a_library_that_is_not_there_does_not_load():
    assert bootstrap.loads("libc.so.6")
    assert not bootstrap.loads("libthat-nobody-made.so.0")


def test_bootstrap_needs_nothing_but_the_standard_library():
    """`-I -S` shuts out everything that was installed."""
    code = f"import sys; sys.path.insert(0, {str(bootstrap.ROOT)!r}); from config import bootstrap"

    result = subprocess.run([sys.executable, "-I", "-S", "-c", code], capture_output=True, text=True, check=False)

    assert result.stderr == ""
    assert result.returncode == 0


def test_an_old_python_is_told_so(tmp_path):
    """manage.py itself, told that it runs on 3.10."""
    code = (
        "import sys, runpy; sys.version_info = (3, 10, 0, 'final', 0); sys.argv = ['manage.py', 'demo'];"
        f"runpy.run_path({str(bootstrap.ROOT / 'manage.py')!r}, run_name='__main__')"
    )

    result = subprocess.run([sys.executable, "-S", "-c", code], capture_output=True, text=True, check=False)

    assert result.returncode == 1
    assert result.stderr == "This needs Python 3.11 or newer, and this is Python 3.10.\n"
