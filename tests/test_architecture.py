"""The rules of the house that no linter knows."""

import ast
import re

import pytest
from django.conf import settings
from django.core.management import get_commands
from django.urls import get_resolver

ROOT = settings.BASE_DIR
APPS = ["assessments", "competencies"]
VIEW_LINES = 40
TEMPLATE_LINES = 120
SHAPELESS = {"base", "common", "helper", "helpers", "misc", "tools", "util", "utils"}
WRITES = re.compile(
    r"\.(save|delete|create|bulk_create|bulk_update|get_or_create|update_or_create)$"
    r"|\.objects\b.*\.update$"
    r"|^append(_\w+)?$",
    re.DOTALL,
)

# Functions of the operations that write and are not one transaction by themselves, and why.
NOT_A_TRANSACTION = {
    "append_fact": "a part of the operation that opened the ledger",
    "append_for_plant": "a part of the operation that opened the ledger",
    "projected_at_the_end": "a frame around the operations that load a history",
    "prove_pin": "a counted try must outlive the refusal that follows it",
}
FRAMES = {"base.html", "print.html"}  # their pieces are part of every page, and take the page's variables


def sources(pattern):
    return sorted(path for app in APPS for path in (ROOT / app).glob(pattern) if "migrations" not in path.parts)


def templates():
    return sorted((ROOT / "templates").rglob("*.html"))


def label(path):
    return str(path.relative_to(ROOT))


def functions(source):
    return [node for node in ast.parse(source).body if isinstance(node, ast.FunctionDef)]


def calls_of(function):
    return [ast.unparse(node.func) for node in ast.walk(function) if isinstance(node, ast.Call)]


def writing_functions(source):
    """Return the public functions that write to the database, by themselves or through a function beside them."""
    found = functions(source)
    writing = {function.name for function in found if any(WRITES.search(call) for call in calls_of(function))}
    for _ in found:
        writing |= {function.name for function in found if writing & set(calls_of(function))}
    return [function for function in found if function.name in writing and not function.name.startswith("_")]


def is_keyword_only(function):
    return not (function.args.posonlyargs or function.args.args or function.args.vararg)


def is_one_transaction(function):
    """Whether the function is decorated as atomic, or opens the ledger, which is atomic."""
    text = "\n".join(ast.unparse(decorator) for decorator in function.decorator_list)
    text += "\n".join(
        ast.unparse(item) for node in ast.walk(function) if isinstance(node, ast.With) for item in node.items
    )
    return re.search(r"\batomic\b|\bwriting\(", text) is not None


def lines_of(function):
    return function.end_lineno - function.lineno + 1


def class_faults(source):
    """Return what a model must not have: its own way of saving, or an order nobody asked for."""
    bodies = [
        (node.name, part)
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.ClassDef)
        for part in node.body
    ]
    faults = [f"{name}.{part.name}" for name, part in bodies if getattr(part, "name", "") in {"save", "delete"}]
    assigned = [(name, target.id) for name, part in bodies if isinstance(part, ast.Assign) for target in part.targets]
    return faults + [f"{name}.{target}" for name, target in assigned if target == "ordering"]


def appends(source):
    """Whether a module takes hold of the one function that appends to the ledger."""
    imports = [node for node in ast.walk(ast.parse(source)) if isinstance(node, ast.ImportFrom | ast.Import)]
    taken = {f"{getattr(node, 'module', '')}.{alias.name}".strip(".") for node in imports for alias in node.names}
    return bool(
        taken & {"competencies.ledger.writer", "competencies.ledger.writer.append", "competencies.ledger.append"}
    )


def inline_code(template):
    """Return what the content security policy refuses: styles, scripts and handlers written into a page."""
    text = re.sub(r"\{%.*?%\}|\{\{.*?\}\}|\{#.*?#\}", "", template, flags=re.DOTALL)
    tags = re.findall(r"<[a-z][^>]*>", text, flags=re.IGNORECASE)
    faults = [tag for tag in tags if re.match(r"<style\b|<script\b(?![^>]*\bsrc\b)", tag, flags=re.IGNORECASE)]
    return faults + [tag for tag in tags if re.search(r"\s(style|on[a-z]+)\s*=|javascript:", tag, flags=re.IGNORECASE)]


def unbounded_includes(template):
    """Return the components that are included with all of the page's variables."""
    includes = re.findall(r"\{% include [\"']components/.*?%\}", template)
    return [include for include in includes if not re.search(r"\bonly\s*%\}$", include)]


def variables_read(source):
    """Return the names of the environment variables that a module reads, through `env` or `os.environ`."""
    calls = [node for node in ast.walk(ast.parse(source)) if isinstance(node, ast.Call) and node.args]
    readers = [call for call in calls if re.match(r"env\.\w+$|os\.environ\.get$|env$", ast.unparse(call.func))]
    return {call.args[0].value for call in readers if isinstance(call.args[0], ast.Constant)}


def documentation():
    return (ROOT / "README.md").read_text() + (ROOT / "DEVELOPERS.md").read_text()


def test_every_module_has_a_name_that_says_what_is_in_it():
    shapeless = [label(path) for path in sources("**/*.py") if path.stem in SHAPELESS or path.parent.name in SHAPELESS]

    assert shapeless == []


@pytest.mark.parametrize("path", sources("operations/*.py"), ids=label)
def test_operations_are_keyword_only_and_one_transaction(path):
    writing = writing_functions(path.read_text())

    assert [function.name for function in writing if not is_keyword_only(function)] == []
    assert {function.name for function in writing if not is_one_transaction(function)} <= set(NOT_A_TRANSACTION)


def test_every_exception_to_one_transaction_is_still_there():
    names = {function.name for path in sources("operations/*.py") for function in writing_functions(path.read_text())}

    assert set(NOT_A_TRANSACTION) <= names


RULE_NUMBER = re.compile(r"\bR(?:1[0-5]|[1-9])(?:\.\d{1,2})?\b")
URL_TAG = re.compile(r"""{%\s*url\s+["']([\w:-]+)["']""")


@pytest.mark.parametrize("path", templates(), ids=label)
def test_every_address_that_a_template_names_is_there(path):
    """`{% url ... as %}` is silent about a name that does not exist: the link is just gone."""
    named = set(URL_TAG.findall(path.read_text()))

    assert named <= address_names()


def address_names():
    resolver = get_resolver()
    return {f"{space}:{name}" for space, (_, inner) in resolver.namespace_dict.items() for name in inner.reverse_dict}


def test_only_operations_append_to_the_ledger():
    writers = {label(path.parent) for path in sources("**/*.py") if appends(path.read_text())}

    assert writers - {"competencies/ledger"} == {"competencies/operations"}


@pytest.mark.parametrize("path", sources("views/*.py"), ids=label)
def test_views_are_short(path):
    tree = ast.parse(path.read_text())
    found = {node.name: lines_of(node) for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)}

    assert {name: lines for name, lines in found.items() if lines > VIEW_LINES} == {}


@pytest.mark.parametrize("path", sources("models/*.py") + sources("models.py"), ids=label)
def test_models_have_no_business_methods(path):
    assert class_faults(path.read_text()) == []


@pytest.mark.parametrize("path", templates(), ids=label)
def test_templates_are_short_and_hold_no_style_and_no_script(path):
    text = path.read_text()

    assert len(text.splitlines()) <= TEMPLATE_LINES
    assert inline_code(text) == []
    assert path.name in FRAMES or unbounded_includes(text) == []


@pytest.mark.parametrize("path", [path for path in templates() if path.parent.name == "components"], ids=label)
def test_components_open_with_what_they_take(path):
    assert path.read_text().startswith(("{% comment %}", "{#"))


@pytest.mark.parametrize("command", sorted(name for name, app in get_commands().items() if app in APPS))
def test_every_command_is_described(command):
    assert f"manage.py {command}" in documentation()


def test_every_command_that_is_described_is_there():
    described = set(re.findall(r"manage\.py ([a-z_]+)", documentation()))

    assert described - set(get_commands()) == set()


@pytest.mark.parametrize("path", sources("management/commands/*.py"), ids=label)
def test_every_option_of_a_command_is_described(path):
    options = re.findall(r"""["'](--[a-z-]+)["']""", path.read_text())
    described = (ROOT / "DEVELOPERS.md").read_text()

    assert [option for option in options if f"`{option}" not in described and f" {option} " not in described] == []


def test_every_rule_that_the_code_names_is_in_the_rules():
    code = "".join(path.read_text() for path in sources("**/*.py"))
    rules = (ROOT / "competencies" / "standing" / "RULES.md").read_text()
    told = set(RULE_NUMBER.findall(rules))

    assert set(RULE_NUMBER.findall(code)) - told == set()
    assert {f"{number}:" for number in told if "." in number and f"{number}:" not in rules} == set()


@pytest.mark.parametrize("path", sorted((ROOT / "config").glob("*.py")), ids=label)
def test_every_environment_variable_is_described(path):
    described = (ROOT / "DEVELOPERS.md").read_text()

    assert {name for name in variables_read(path.read_text()) if f"`{name}`" not in described} == set()


def test_the_settings_are_searched_for_environment_variables():
    assert variables_read((ROOT / "config" / "settings.py").read_text()) >= {"DATABASE_URL", "DEBUG", "SECRET_KEY"}


@pytest.mark.parametrize(
    ("source", "keyword_only", "one_transaction"),
    [
        ("@transaction.atomic\ndef sign(*, by):\n    by.save()", True, True),
        ("def sign(*, by):\n    with ledger.writing():\n        append(kind=1)", True, True),
        ("def sign(by):\n    _write(by)\ndef _write(by):\n    Run.objects.filter(by=by).update(by=by)", False, False),
        ("def sign(*people):\n    Run.objects.create(by=people)", False, False),
    ],
)
def test_operation_faults_are_seen(source, keyword_only, one_transaction):
    [function] = writing_functions(source)

    assert is_keyword_only(function) is keyword_only
    assert is_one_transaction(function) is one_transaction


def test_functions_that_write_nothing_are_let_be():
    assert writing_functions("def fault(pin):\n    found = {}\n    found.update(pin=pin)\n    return found") == []


@pytest.mark.parametrize(
    ("source", "expected"),
    [
        ("from competencies.ledger.writer import Appended, append", True),
        ("from competencies.ledger import writer", True),
        ("import competencies.ledger.writer", True),
        ("from competencies.ledger.writer import Appended, appended_under", False),
    ],
)
def test_an_import_of_the_writer_is_seen(source, expected):
    assert appends(source) is expected


@pytest.mark.parametrize("body", ["def save(self): ...", "class Meta:\n        ordering = ['name']"])
def test_model_faults_are_seen(body):
    assert len(class_faults(f"class Task(Model):\n    {body}\n")) == 1


@pytest.mark.parametrize(
    ("template", "faults"),
    [
        ("<style>p {}</style>", 1),
        ("<script>run()</script>", 1),
        ('<script type="module" src="{% static "js/theme.js" %}"></script>', 0),
        ('<p class="a" style="color: red">', 1),
        ('<button\n  onclick="run()">', 1),
        ('<a href="javascript:run()">', 1),
        ('<p class="once">style = none</p>', 0),
    ],
)
def test_inline_code_is_seen(template, faults):
    assert len(inline_code(template)) == faults


def test_an_include_without_only_is_seen():
    assert len(unbounded_includes('{% include "components/card.html" with title=title %}')) == 1
    assert unbounded_includes('{% include "components/card.html" with title=title only %}') == []
