//! Names that would like to be something else: markup, code of a page, of a spreadsheet, of a file format; and a plan full of them.

use std::sync::Arc;

use engine::plan::{ExtraStock, PartWanted, Plan, StockId, sample};

/// One of each kind. A control character, a NUL or a turn of direction never enters a plan by an edit or a file; what draws and
/// writes has to hold up all the same.
pub(crate) const NAMES: [&str; 18] = [
    "<script>globalThis.hit=1</script>",
    "<img src=x onerror=globalThis.hit=1>",
    "\"><svg onload=globalThis.hit=1>",
    "' onmouseover='globalThis.hit=1",
    "</text></svg><a href=javascript:hit()>",
    "]]><x/><![CDATA[",
    "-->&lt;!--&#0;&quot;&amp;",
    "{{7*7}}${7*7}%s%n%x",
    "javascript:globalThis.hit=1",
    "=cmd|' /C calc'!A0",
    "+1+cmd()",
    "@SUM(A1:A9),\"\n=2",
    "a) /JS (app.alert(1)) \\",
    "(((\\)))\\\\>> endobj",
    "%%EOF\r\n0\r\nEOF\r\n^J{\\P",
    "line\u{2028}two\nthree\r\n\ttab",
    "abc\u{202e}fdp.exe\u{200f}\u{0}\u{7}\u{feff}",
    "\u{1f41a}\u{8c9d}\u{5d0}e\u{301}\u{301}\u{301}",
];

/// The sample with these names everywhere a name can be, each plan with others; whether or not an edit would take them.
pub(crate) fn plans() -> impl Iterator<Item = Plan> {
    let long = "Clam ".repeat(2_000);
    let names = NAMES.map(str::to_owned).into_iter().chain([long]).collect::<Vec<_>>();
    let count = names.len();
    (0..count).map(move |first| {
        let name = |n: usize| names[(first + n) % count].clone();
        let mut plan = plain();
        plan.name = name(0);
        for (n, mold) in plan.molds.values_mut().enumerate() {
            Arc::make_mut(mold).name = name(1 + n);
        }
        for (n, pull) in plan.pulls.values_mut().enumerate() {
            Arc::make_mut(pull).name = name(7 + n);
        }
        for stock in Arc::make_mut(&mut plan.batch).stocks.values_mut() {
            stock.colour = name(9);
        }
        plan
    })
}

/// The same plan with its own names: the sample, and a kit of two sheets.
pub(crate) fn plain() -> Plan {
    let mut plan = sample();
    let batch = Arc::make_mut(&mut plan.batch);
    batch.stocks.insert(StockId(1), ExtraStock { colour: "blue".into(), stock: plan.stock });
    for (n, &mold) in plan.molds.keys().enumerate().take(2) {
        let stock = (n == 0).then_some(StockId(1));
        batch.wanted.insert(mold, PartWanted { per_kit: 1, stock });
    }
    plan
}
