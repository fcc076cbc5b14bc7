//! What goes to other trades' machines, and what is known of a printer.

use engine::drawing::{Role, draw_workshop};
use engine::export::{cutter, dxf};
use engine::file::load;
use engine::plan::PullId;
use engine::template::{Correction, Printer, TemplateError};
use engine::units::Length;
use serde::{Deserialize, Serialize};

use super::Answer;

/// What the bars of an uncorrected print measure on a printer.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PrinterSaid {
    /// What its owner calls it.
    pub name: String,
    /// The bar of 100 mm along the paper's short side, in millimetres.
    pub across_mm: f64,
    /// The bar of 100 mm along the paper's long side, in millimetres.
    pub along_mm: f64,
}

impl PrinterSaid {
    /// The printer as the engine corrects for it.
    ///
    /// # Errors
    /// A bar that is too far off to be corrected.
    pub fn printer(&self) -> Result<Printer, TemplateError> {
        let correction =
            Correction::measured(Length::mm(self.across_mm), Length::mm(self.along_mm))?;
        Ok(Printer::new(&self.name, correction))
    }
}

/// A drawing of a pull for a machine.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Trade {
    /// The plan.
    pub plan: String,
    /// The number of the pull.
    pub pull: u32,
    /// Which file.
    pub file: TradeFile,
    /// Whether a DXF has the locating corners too.
    pub corners: bool,
}

/// A kind of file.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum TradeFile {
    /// Everything, in layers.
    Dxf,
    /// The molds' outlines for a cutter: a stencil to set them by.
    CutMolds,
    /// The trim lines for a cutter.
    CutTrimLines,
    /// The molds' outlines and trim lines for a cutter.
    CutBoth,
    /// The locating corners for a cutter.
    CutCorners,
}

impl TradeFile {
    /// What a cutter cuts; `None` for a DXF.
    const fn roles(self) -> Option<&'static [Role]> {
        match self {
            Self::Dxf => None,
            Self::CutMolds => Some(&[Role::Mold]),
            Self::CutTrimLines => Some(&[Role::TrimLine]),
            Self::CutBoth => Some(&[Role::Mold, Role::TrimLine]),
            Self::CutCorners => Some(&[Role::Corner]),
        }
    }
}

/// The file, or why not.
pub(super) fn drawn(ask: &Trade) -> Result<Answer, String> {
    let plan = load(&ask.plan).map_err(|error| error.to_string())?;
    let pull = PullId(ask.pull);
    if !plan.pulls.contains_key(&pull) {
        return Err(TemplateError::NoSuchPull(pull).to_string());
    }
    let roles = ask.file.roles();
    let has_corners = roles.map_or(ask.corners, |roles| roles.contains(&Role::Corner));
    let drawing = draw_workshop(&plan, pull, has_corners);
    let Some(roles) = roles else {
        return Ok(Answer::File { bytes: dxf(&drawing).into_bytes() });
    };
    if !drawing.marks.iter().any(|mark| roles.contains(&mark.role)) {
        let what = "there is nothing to cut in this pull";
        return Err(format!("{what}; place molds, or choose something else to cut"));
    }
    Ok(Answer::File { bytes: cutter(&drawing, roles).into_bytes() })
}

#[cfg(test)]
mod tests {
    use engine::file::save;
    use engine::plan::sample;

    use super::*;

    fn ask(file: TradeFile, pull: u32) -> Result<Answer, String> {
        drawn(&Trade { plan: save(&sample()), pull, file, corners: true })
    }

    #[test]
    fn every_kind_of_file_is_made() {
        for (file, begins) in [
            (TradeFile::Dxf, "0\nSECTION"),
            (TradeFile::CutMolds, "<svg"),
            (TradeFile::CutBoth, "<svg"),
            (TradeFile::CutTrimLines, "<svg"),
            (TradeFile::CutCorners, "<svg"),
        ] {
            let Ok(Answer::File { bytes }) = ask(file, 1) else { panic!("{file:?}") };
            assert!(bytes.starts_with(begins.as_bytes()), "{file:?}");
        }
        assert_eq!(ask(TradeFile::Dxf, 9), Err("there is no pull 9 in this plan".into()));
    }

    #[test]
    fn a_printer_too_far_off_is_refused() {
        let said = |across_mm| PrinterSaid { name: "Shed".into(), across_mm, along_mm: 100.0 };
        assert!(said(99.6).printer().is_ok());
        assert!(said(90.0).printer().is_err());
    }
}
