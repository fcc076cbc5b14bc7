//! Foreign files: how long the largest ones that are meant to work take to read and to measure.

use divan::Bencher;
use engine::intake::photo::{Paper, Picture, TraceSettings, find_paper, trace};
use engine::intake::{Kind, SourceUnit, Standing, Up, read_dxf, read_mesh, read_svg, survey};
use engine::units::Angle;

fn main() {
    divan::main();
}

#[expect(clippy::cast_possible_truncation, reason = "the form holds single precision")]
fn single(value: f64) -> f32 {
    value as f32
}

/// A bumpy shell of about a million triangles as binary STL: rings of corners from the rim to the top, and a floor.
fn shell(n: u32) -> Vec<u8> {
    let corner = |row: u32, step: u32| -> [f32; 3] {
        let out = 1.0 - f64::from(row) / f64::from(n);
        let turn = std::f64::consts::TAU * f64::from(step % (2 * n)) / f64::from(2 * n);
        let bump = 1.0 + 0.02 * libm::sin(9.0 * turn) * libm::sin(40.0 * out);
        let (sin, cos) = libm::sincos(turn);
        let z = 40.0 * (1.0 - out * out).sqrt() * bump;
        [60.0 * out * cos * bump, 45.0 * out * sin * bump, z].map(single)
    };
    let mut triangles: Vec<[[f32; 3]; 3]> = Vec::new();
    for row in 0..n {
        for step in 0..2 * n {
            let [a, b] = [corner(row, step), corner(row, step + 1)];
            let [c, d] = [corner(row + 1, step), corner(row + 1, step + 1)];
            triangles.extend([[a, b, d], [a, d, c]]);
        }
    }
    for step in 0..2 * n {
        triangles.push([[0.0; 3], corner(0, step + 1), corner(0, step)]);
    }
    let mut bytes = vec![b' '; 80];
    bytes.extend(u32::try_from(triangles.len()).unwrap_or(0).to_le_bytes());
    for triangle in triangles {
        bytes.extend([0; 12]);
        bytes.extend(triangle.iter().flatten().flat_map(|value| value.to_le_bytes()));
        bytes.extend([0; 2]);
    }
    bytes
}

#[divan::bench(sample_count = 5, sample_size = 1)]
fn read_a_million_triangles(bencher: Bencher<'_, '_>) {
    let bytes = shell(500);
    bencher.bench_local(|| read_mesh(&bytes, Kind::Stl, None));
}

#[divan::bench(sample_count = 5, sample_size = 1)]
fn survey_a_million_triangles(bencher: Bencher<'_, '_>) {
    let mesh = read_mesh(&shell(500), Kind::Stl, None).mesh;
    bencher.with_inputs(|| mesh.clone()).bench_local_values(|mesh| {
        survey(&Standing::new(mesh, Up::PlusZ, SourceUnit::Millimetre), Angle::degrees(3.0))
    });
}

/// Twelve million pixels: a light sheet on dark ground, a darker lobed patch on the sheet.
fn photograph() -> Vec<u8> {
    let mut rgba = Vec::with_capacity(48_000_000);
    for index in 0..12_000_000_u32 {
        let (x, y) = (f64::from(index % 4000) - 2000.0, f64::from(index / 4000) - 1500.0);
        let is_paper = x.abs() + 0.05 * y < 1750.0 && y.abs() + 0.03 * x < 1240.0;
        let is_mold = (x * x + y * y).sqrt() < 600.0 * (1.0 + 0.0001 * x);
        let value = if is_mold {
            70
        } else if is_paper {
            225
        } else {
            90
        };
        rgba.extend([value, value, value - 5, 255]);
    }
    rgba
}

#[divan::bench(sample_count = 5, sample_size = 1)]
fn find_paper_in_twelve_megapixels(bencher: Bencher<'_, '_>) {
    let rgba = photograph();
    let picture = Picture::new(4000, 3000, &rgba).expect("a picture");
    bencher.bench_local(|| find_paper(&picture).expect("paper"));
}

#[divan::bench(sample_count = 5, sample_size = 1)]
fn trace_twelve_megapixels(bencher: Bencher<'_, '_>) {
    let rgba = photograph();
    let picture = Picture::new(4000, 3000, &rgba).expect("a picture");
    let corners = find_paper(&picture).expect("paper").corners;
    let settings = TraceSettings::default();
    bencher.bench_local(|| trace(&picture, Paper::A4, corners, &settings).expect("traces"));
}

#[divan::bench(sample_count = 5, sample_size = 1)]
fn read_a_drawing_of_a_thousand_outlines(bencher: Bencher<'_, '_>) {
    let one = |k: u32| {
        let (x, y) = (k % 40 * 20, k / 40 * 20);
        format!("<path d='M{x} {y}c5 3 12-4 15 2s4 9-3 12-14-2-12-14z'/>")
    };
    let body: String = (0..1000).map(one).collect();
    let text = format!(
        "<svg xmlns='http://www.w3.org/2000/svg' width='800mm' viewBox='0 0 800 800'>{body}</svg>"
    );
    bencher.bench_local(|| read_svg(text.as_bytes(), None));
}

#[divan::bench(sample_count = 5, sample_size = 1)]
fn join_twenty_thousand_loose_lines(bencher: Bencher<'_, '_>) {
    let mut text = "0\nSECTION\n2\nENTITIES\n".to_owned();
    for ring in 0..100_u32 {
        let corner = |k: u32| {
            let turn = std::f64::consts::TAU * f64::from(k % 200) / 200.0;
            let (sin, cos) = libm::sincos(turn);
            (f64::from(ring) * 50.0 + 20.0 * cos, 20.0 * sin)
        };
        for k in 0..200 {
            let (a, b) = (corner(k), corner(k + 1));
            text.push_str(&format!(
                "0\nLINE\n8\n0\n10\n{}\n20\n{}\n11\n{}\n21\n{}\n",
                a.0, a.1, b.0, b.1
            ));
        }
    }
    text.push_str("0\nENDSEC\n0\nEOF\n");
    bencher.bench_local(|| read_dxf(text.as_bytes(), None));
}
