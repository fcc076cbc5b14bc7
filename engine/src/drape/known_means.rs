//! Rubber and film over the same forms: what they keep is the same on the whole, and where it lies is not.

use super::Mode;
use super::known::{Form, NO_VACUUM, Piece, SOFT, bar, mean, strip};

/// What is left of the gauge on the upper wall, on the lower wall, on the floor, and of all.
#[derive(Clone, Copy, Debug)]
struct Kept {
    upper: f64,
    lower: f64,
    floor: f64,
    whole: f64,
}

/// How much more rubber keeps than the film, in per cent.
fn more(rubber: Kept, film: Kept) -> [f64; 4] {
    let parts = |kept: Kept| [kept.upper, kept.lower, kept.floor, kept.whole];
    let (rubber, film) = (parts(rubber), parts(film));
    [0, 1, 2, 3].map(|part| (rubber[part] / film[part] - 1.0) * 100.0)
}

/// Means by the share of its depth that a piece lies at. A form that ends in a point or in an edge has no floor: of its last
/// tenth too little is reached by either.
fn by_depth(pieces: &[Piece], deep: f64) -> Kept {
    let between = |from: f64, to: f64| {
        mean(pieces.iter().filter(|piece| (from..to).contains(&(piece.at[2] / deep))))
    };
    let all = f64::INFINITY;
    Kept {
        upper: between(0.05, 0.5),
        lower: between(0.5, 0.9),
        floor: between(0.97, all),
        whole: between(-all, all),
    }
}

/// On the whole: plastic and surface are the same. By place they are not: a film's free sheet is equally thick, while rubber thins
/// most at the pole of what is free, which lands last.
#[test]
#[expect(clippy::print_stdout, reason = "the table in DEVELOPERS.md")]
fn rubber_and_film_keep_the_same_means() {
    for form in
        [Form::Cone60, Form::Cone45, Form::Cup75, Form::Cup50, Form::Frustum, Form::Trough45]
    {
        let [rubber, film] =
            [Mode::Rubber, Mode::Uniform].map(|mode| by_depth(form.sheet(mode), form.deep()));
        let more = more(rubber, film);
        println!("{form:?} {more:.1?} % more: {rubber:.3?} {film:.3?}");
        assert!(more[3].abs() < 2.0, "{form:?}: {more:?}");
        // What rubber thins most is what lands last, so the upper wall keeps more.
        assert!(more[0] > 0.3 && more[1] < -0.5, "{form:?}: {more:?}");
        // Cones and troughs have none: what is left at a tip is the net's.
        if matches!(form, Form::Cup75 | Form::Cup50 | Form::Frustum) {
            assert!(more[2] < -20.0, "{form:?}: {more:?}");
        }
    }
}

/// A bar in the middle of a sheet: tent and skirt beside it by height, its top; and two bars with a floor between them.
#[test]
#[expect(clippy::print_stdout, reason = "the table in DEVELOPERS.md")]
fn rubber_and_film_keep_the_same_beside_and_between_molds() {
    let (half, height, gap) = (20.0, 40.0, 40.0);
    let middle = half + gap;
    let profile = bar(half, middle, height);
    for (vacuum, what) in [(NO_VACUUM, "tent"), (SOFT, "skirt")] {
        let [rubber, film] = [Mode::Rubber, Mode::Uniform].map(|mode| {
            let mut pieces = strip((2.0 * middle, 120, 1.0), (mode, vacuum, 0.0), &profile);
            pieces.retain(|piece| (piece.at[0] - middle).abs() > half);
            for piece in &mut pieces {
                piece.at[2] = height - piece.at[2];
            }
            by_depth(&pieces, height)
        });
        let more = more(rubber, film);
        println!("{what} {more:.1?} % more: {rubber:.3?} {film:.3?}");
        assert!(more[3].abs() < 2.0, "{what}: {more:?}");
    }
    let (height, half, margin, space) = (30.0, 15.0, 45.0, 30.0);
    let (left, right) = (margin + half, margin + 3.0 * half + space);
    let (one, other) = (bar(half, left, height), bar(half, right, height));
    let width = 2.0 * margin + 4.0 * half + space;
    let [rubber, film] = [Mode::Rubber, Mode::Uniform].map(|mode| {
        let mut pieces = strip((width, 144, 1.0), (mode, SOFT, 0.0), |x| one(x).max(other(x)));
        pieces.retain(|piece| (left + half..right - half).contains(&piece.at[0]));
        for piece in &mut pieces {
            piece.at[2] = height - piece.at[2];
        }
        by_depth(&pieces, height)
    });
    let more = more(rubber, film);
    println!("floor between {more:.1?} % more: {rubber:.3?} {film:.3?}");
    assert!(more[3].abs() < 2.0, "{more:?}");
}

/// All that a platen that rises would change is how fast the sheet goes through the air, which drags on it here. Four times as slow
/// the tent is the same, so it does not show which of the two moves.
#[test]
fn how_fast_frame_and_platen_meet_does_not_show_in_the_tent() {
    let (half, height, gap) = (20.0, 40.0, 40.0);
    let middle = half + gap;
    let profile = bar(half, middle, height);
    let [usual, slow] = [1.0, 4.0].map(|patience| {
        let size = (2.0 * middle, 120, patience);
        let mut pieces = strip(size, (Mode::Rubber, NO_VACUUM, 0.0), &profile);
        pieces.retain(|piece| (piece.at[0] - middle).abs() > half);
        for piece in &mut pieces {
            piece.at[2] = height - piece.at[2];
        }
        by_depth(&pieces, height)
    });
    let more = more(usual, slow);
    assert!(more.iter().all(|off| off.abs() < 2.0), "{more:?}");
}
