"""An automated accessibility audit of every panel, by axe-core in the real browser.

It looks at our own outputs only. What JupyterLab draws around them is not ours to mend.
"""

import pytest
from tools import lessons
from tools.browser import audit, notes

PRESENT = [pytest.param(path.name, id=path.stem) for path in lessons.present()]
CARD = ".splash-card"


@pytest.mark.parametrize("name", PRESENT)
def test_panels_pass_the_audit(name, lesson, axe):
    lesson.open(name).run_all().uncover().wait_idle()
    findings = audit(lesson.page, axe, CARD)
    serious = [f for f in findings if f["impact"] in ("serious", "critical")]
    notes.append(f"{name}: audit found {len(findings) - len(serious)} minor, {len(serious)} serious")
    assert not serious, "\n".join(f"{f['impact']}: {f['help']}: {f['where']}" for f in serious)


def test_audit_finds_what_it_should(page, axe):
    page.set_content(
        "<main class='splash-card'><button></button><img src='data:,'>"
        "<p style='color:#999;background:#aaa'>pale</p></main>"
    )
    assert {"button-name", "image-alt", "color-contrast"} <= {f["id"] for f in audit(page, axe, CARD)}
