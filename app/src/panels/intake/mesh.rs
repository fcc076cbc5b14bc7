//! What a mesh measures, and which of its sides is up.

use engine::intake::Up;
use engine::units::{Length, LengthStyle};
use works::{MeshTold, Side};

use super::file::FileIntake;
use super::picks::region_of;
use crate::panels::molds::{box_of, path};
use crate::reactive::prelude::*;
use crate::widgets::use_lengths;

/// The sides to choose from, and the figures of the mesh as it stands.
#[component]
pub(super) fn MeshFields(intake: FileIntake) -> impl IntoView {
    view! {
        <fieldset class="sides">
            <legend>"Which side is up"</legend>
            <div class="chips">
                {move || {
                    let sides = intake.sides.get();
                    sides.into_iter().filter_map(|side| side_button(intake, &side)).collect_view()
                }}
            </div>
        </fieldset>
        <div class="mesh-told">
            <Figures intake/>
            <Places intake/>
        </div>
    }
}

/// Rectangles in millimetres as one path, y downwards.
fn rectangles(rectangles: &[[f64; 4]]) -> String {
    let path = |[x, y, width, depth]: &[f64; 4]| {
        // A little over, so that no seam shows between rows.
        let grown = depth * 1.06;
        format!("M{x:.2} {:.2}h{width:.2}v{grown:.2}h{:.2}z", -y - grown, -width)
    };
    rectangles.iter().map(path).collect()
}

/// Where the part would not come off, seen from above.
#[component]
fn Places(intake: FileIntake) -> impl IntoView {
    let told = memo(move |_| {
        intake.read.with(|read| {
            let mesh = read.as_ref()?.mesh.as_ref()?;
            let has_some = !mesh.undercut_at.is_empty() || !mesh.steep_at.is_empty();
            has_some.then(|| (rectangles(&mesh.steep_at), rectangles(&mesh.undercut_at)))
        })
    });
    let outlines = memo(move |_| {
        let picks = intake.coming.picks.0.get();
        let rings: Vec<_> = picks.iter().map(|pick| region_of(&pick.shape.picture)).collect();
        let bounds = rings.iter().filter_map(|region| region.bounds()).reduce(|a, b| a.union(b));
        let room = bounds.map(|bounds| bounds.width().max(bounds.depth()) * 0.04);
        let view = box_of(bounds.unwrap_or_default().grown(room.unwrap_or_default()));
        (view, rings.iter().map(|region| path(region.rings())).collect::<String>())
    });
    let picture = live(move || {
        let (steep, undercut) = told.get()?;
        let (has_steep, has_undercut) = (!steep.is_empty(), !undercut.is_empty());
        Some(view! {
            <figure class="places">
                <svg viewBox=move || outlines.get().0 role="img" aria-label="Where the part would not come off, seen from above">
                    <path class="places-steep" d=steep/>
                    <path class="places-undercut" d=undercut/>
                    <path class="places-mold" d=move || outlines.get().1/>
                </svg>
                <figcaption>
                    <p hidden=!has_undercut><span class="swatch swatch-undercut" aria-hidden="true"></span>"Undercut"</p>
                    <p hidden=!has_steep><span class="swatch swatch-steep" aria-hidden="true"></span>"Too little draft"</p>
                </figcaption>
            </figure>
        })
    });
    view! { {picture} }
}

/// One side as a button: what would be seen from above, and how tall it would be.
fn side_button(intake: FileIntake, side: &Side) -> Option<impl IntoView + use<>> {
    let style = use_lengths();
    let up = Up::ALL.into_iter().find(|up| up.sign() == side.up)?;
    let height = Length::mm(side.height);
    let path = rectangles(&side.covers);
    let room = side.width.max(side.depth).max(0.1) * 1.1;
    let view_box = format!("{:.2} {:.2} {room:.2} {room:.2}", -room / 2.0, -room / 2.0);
    Some(view! {
        <button
            type="button"
            class="chip side"
            aria-pressed=move || if intake.up.get() == up { "true" } else { "false" }
            on:click=move |_| intake.set_up(up)
        >
            <svg class="side-picture" viewBox=view_box aria-hidden="true"><path d=path/></svg>
            <span>{format!("{} up", up.sign())}</span>
            <span class="side-height">{move || format!("{} tall", style.get().show(height))}</span>
        </button>
    })
}

#[component]
fn Figures(intake: FileIntake) -> impl IntoView {
    let style = use_lengths();
    let mesh = memo(move |_| intake.read.with(|read| read.as_ref().and_then(|r| r.mesh.clone())));
    let rows = live(move || {
        let mesh = mesh.get()?;
        let row = |(name, value, says): (String, String, String)| {
            view! {
                <div class="figure">
                    <dt>{name}</dt>
                    <dd class="figure-value">{value}</dd>
                    <dd class="figure-says">{says}</dd>
                </div>
            }
        };
        Some(figures(&mesh, style.get()).map(row).collect_view())
    });
    view! { <dl class="figures" aria-label="Figures of the mesh">{rows}</dl> }
}

/// The figures with what they mean.
fn figures(mesh: &MeshTold, style: LengthStyle) -> [(String, String, String); 4] {
    let area = |mm2: f64| area(mm2, style);
    let steep = match mesh.least {
        _ if mesh.steep < 0.5 => ("None".into(), "Every wall lets the part go.".into()),
        Some(least) => (
            area(mesh.steep),
            format!("The steepest has {:.1}\u{b0}: the part may stick there.", least.max(0.0)),
        ),
        None => (area(mesh.steep), "The part may stick there.".into()),
    };
    let undercut = if mesh.undercut < 0.5 {
        ("None".into(), "Nothing that the sheet could lock under.".into())
    } else {
        let over = area(mesh.hangs_over);
        (
            area(mesh.undercut),
            format!(
                "Surface that faces down hangs over {over} of the platen: the sheet locks under it and the part does not come off. Turn the mold, or fill in below."
            ),
        )
    };
    [
        (
            "Height".into(),
            style.show(Length::mm(mesh.height)),
            format!("{} triangles", mesh.n_triangles),
        ),
        ("Surface to cover".into(), area(mesh.formed), "What the sheet is stretched over.".into()),
        (format!("Walls under {:.0}\u{b0} of draft", mesh.asked_draft), steep.0, steep.1),
        ("Undercuts".into(), undercut.0, undercut.1),
    ]
}

/// `43.2 cm²`, or square inches where the plan is in inches.
fn area(mm2: f64, style: LengthStyle) -> String {
    match style {
        LengthStyle::Millimetres => format!("{:.1} cm\u{b2}", mm2 / 100.0),
        LengthStyle::DecimalInches | LengthStyle::FractionInches => {
            format!("{:.2} in\u{b2}", mm2 / (Length::MM_PER_INCH * Length::MM_PER_INCH))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(steep: f64, undercut: f64) -> MeshTold {
        MeshTold {
            n_triangles: 12,
            asked_draft: 5.0,
            height: 20.0,
            formed: 4320.0,
            steep,
            least: (steep > 0.0).then_some(-0.2),
            undercut,
            hangs_over: undercut / 2.0,
            undercut_at: Vec::new(),
            steep_at: Vec::new(),
            sides: Vec::new(),
        }
    }

    #[test]
    fn figures_are_said_in_the_unit_of_the_page_with_what_they_mean() {
        let [height, formed, steep, undercut] = figures(&told(0.0, 0.0), LengthStyle::Millimetres);
        assert_eq!((height.1.as_str(), formed.1.as_str()), ("20.0 mm", "43.2 cm\u{b2}"));
        assert_eq!((steep.1.as_str(), undercut.1.as_str()), ("None", "None"));
        let [.., steep, undercut] = figures(&told(280.0, 100.0), LengthStyle::DecimalInches);
        assert_eq!((steep.1.as_str(), undercut.1.as_str()), ("0.43 in\u{b2}", "0.16 in\u{b2}"));
        assert_eq!(steep.0, "Walls under 5\u{b0} of draft");
        assert!(steep.2.contains("0.0\u{b0}") && undercut.2.contains("0.08 in\u{b2}"));
    }
}
