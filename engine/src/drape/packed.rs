//! A forecast as bytes and back, to the last bit: how it travels from a worker to the page, a tenth of the size of JSON.
//!
//! Both ends are of one build, so there is no version: this is no file to keep. Numbers are little-endian; a list
//! begins with its length.

use super::forecast::WebKind;
use super::{Bridge, Contact, Forecast, Map, Mode, OverMold, Sheet, Spot, Web, Why};
use crate::geometry::{HeightField, Point, Rect};
use crate::order;
use crate::plan::PlacementId;
use crate::rules::Severity;
use crate::units::{Area, Length};

impl Forecast {
    /// The forecast as bytes. Cost: one copy of it.
    #[must_use]
    pub fn to_bytes(&self) -> Vec<u8> {
        let mut out = Writer(Vec::new());
        out.u32(u32::from(self.mode == Mode::Uniform));
        for length in [self.mesh, self.gauge] {
            out.f64(length.to_mm());
        }
        out.sheet(&self.sheet);
        out.map(&self.map);
        out.ground(&self.ground);
        out.count(self.molds.len());
        for (id, over) in &self.molds {
            out.u32(id.0);
            out.spot(&over.thinnest);
            out.f64(over.mean);
            out.f64(over.landed);
        }
        out.spot(&self.thinnest);
        out.count(self.webs.len());
        self.webs.iter().for_each(|web| out.web(web));
        out.count(self.bridges.len());
        self.bridges.iter().for_each(|bridge| out.bridge(bridge));
        for number in [self.plastic, self.web_index, self.folded.to_mm2()] {
            out.f64(number);
        }
        out.0.extend(self.steps.to_le_bytes());
        out.0
    }

    /// The forecast again; `None` when these are not the bytes of one.
    #[must_use]
    pub fn from_bytes(bytes: &[u8]) -> Option<Self> {
        let mut from = Reader(bytes);
        let mode = if from.u32()? == 0 { Mode::Rubber } else { Mode::Uniform };
        let (mesh, gauge) = (Length::mm(from.f64()?), Length::mm(from.f64()?));
        let (sheet, map, ground) = (from.sheet()?, from.map()?, from.ground()?);
        let molds = from.many(|from| {
            let id = PlacementId(from.u32()?);
            let (thinnest, mean, landed) = (from.spot()?, from.f64()?, from.f64()?);
            Some((id, OverMold { thinnest, mean, landed }))
        })?;
        let forecast = Self {
            mode,
            mesh,
            gauge,
            sheet,
            map,
            ground,
            molds: order::map(molds),
            thinnest: from.spot()?,
            webs: from.many(Reader::web)?,
            bridges: from.many(Reader::bridge)?,
            plastic: from.f64()?,
            web_index: from.f64()?,
            folded: Area::mm2(from.f64()?),
            steps: u64::from_le_bytes(from.take()?),
        };
        from.0.is_empty().then_some(forecast)
    }
}

struct Writer(Vec<u8>);

impl Writer {
    fn u32(&mut self, number: u32) {
        self.0.extend(number.to_le_bytes());
    }

    fn f64(&mut self, number: f64) {
        self.0.extend(number.to_le_bytes());
    }

    /// No list of a forecast comes near four thousand million.
    fn count(&mut self, count: usize) {
        self.u32(u32::try_from(count).unwrap_or(u32::MAX));
    }

    fn f32s(&mut self, numbers: &[f32]) {
        self.count(numbers.len());
        self.0.extend(numbers.iter().flat_map(|number| number.to_le_bytes()));
    }

    fn point(&mut self, point: Point) {
        self.f64(point.x);
        self.f64(point.y);
    }

    fn contacts(&mut self, contacts: &[Contact]) {
        self.count(contacts.len());
        for contact in contacts {
            match contact {
                Contact::Nothing => self.0.push(0),
                Contact::Clamp => self.0.push(1),
                Contact::Platen => self.0.push(2),
                Contact::Mold(id) => {
                    self.0.push(3);
                    self.u32(id.0);
                }
            }
        }
    }

    fn sheet(&mut self, sheet: &Sheet) {
        self.f32s(sheet.positions.as_flattened());
        self.count(sheet.triangles.len() * 3);
        sheet.triangles.as_flattened().iter().for_each(|node| self.u32(*node));
        self.f32s(&sheet.thickness);
        self.f32s(&sheet.surplus);
        self.contacts(&sheet.contact);
    }

    fn map(&mut self, map: &Map) {
        self.point(map.bounds.min);
        self.point(map.bounds.max);
        self.count(map.columns);
        self.count(map.rows);
        self.f32s(&map.ratios);
        self.f32s(&map.surplus);
        self.f32s(&map.heights);
        self.contacts(&map.contacts);
    }

    fn ground(&mut self, ground: &HeightField) {
        self.point(ground.corner());
        self.f64(ground.spacing().to_mm());
        self.count(ground.columns());
        self.f32s(ground.heights());
    }

    fn spot(&mut self, spot: &Spot) {
        self.point(spot.at);
        self.f64(spot.height.to_mm());
        self.f64(spot.ratio);
        let (number, other) = match spot.why {
            Why::TopEdge => (0, 0),
            Why::Wall => (1, 0),
            Why::Foot => (2, 0),
            Why::Between(other) => (3, other.0),
            Why::BesideClamp => (4, 0),
            Why::Floor => (5, 0),
            Why::Top => (6, 0),
            Why::Bed => (7, 0),
        };
        self.u32(number);
        self.u32(other);
    }

    fn web(&mut self, web: &Web) {
        self.u32(match web.kind {
            WebKind::Fold => 0,
            WebKind::Span => 1,
        });
        self.point(web.at);
        self.f64(web.extent.to_mm());
        self.f64(web.measure);
        self.f64(web.surface.to_mm2());
        self.u32(match web.severity {
            Severity::Note => 0,
            Severity::Caution => 1,
            Severity::Stop => 2,
        });
        self.count(web.molds.len());
        web.molds.iter().for_each(|id| self.u32(id.0));
    }

    fn bridge(&mut self, bridge: &Bridge) {
        self.point(bridge.at);
        self.f64(bridge.gap.to_mm());
        self.f64(bridge.covers.to_mm2());
        // 0 is no mold; ids may be 0 as well, so the next number is the mold's.
        self.u32(u32::from(bridge.mold.is_some()));
        self.u32(bridge.mold.map_or(0, |id| id.0));
    }
}

struct Reader<'a>(&'a [u8]);

impl<'a> Reader<'a> {
    fn take<const N: usize>(&mut self) -> Option<[u8; N]> {
        let (first, rest) = self.0.split_first_chunk()?;
        self.0 = rest;
        Some(*first)
    }

    fn slice(&mut self, length: usize) -> Option<&'a [u8]> {
        let (first, rest) = self.0.split_at_checked(length)?;
        self.0 = rest;
        Some(first)
    }

    fn u32(&mut self) -> Option<u32> {
        self.take().map(u32::from_le_bytes)
    }

    fn f64(&mut self) -> Option<f64> {
        self.take().map(f64::from_le_bytes)
    }

    fn count(&mut self) -> Option<usize> {
        usize::try_from(self.u32()?).ok()
    }

    /// A list of such things; nothing is set aside ahead, so that a false length costs nothing.
    fn many<T>(&mut self, mut one: impl FnMut(&mut Self) -> Option<T>) -> Option<Vec<T>> {
        let count = self.count()?;
        let mut all = Vec::new();
        for _ in 0..count {
            all.push(one(self)?);
        }
        Some(all)
    }

    /// A list of numbers of four bytes, in groups.
    fn groups<T, const N: usize>(&mut self, number: fn([u8; 4]) -> T) -> Option<Vec<[T; N]>> {
        let bytes = self.count()?.checked_mul(4).and_then(|length| self.slice(length))?;
        let (fours, _) = bytes.as_chunks::<4>();
        let (groups, rest) = fours.as_chunks::<N>();
        let groups = groups.iter().map(|group| group.map(number)).collect();
        rest.is_empty().then_some(groups)
    }

    fn f32s(&mut self) -> Option<Vec<f32>> {
        let ones = self.groups::<f32, 1>(f32::from_le_bytes)?;
        Some(ones.into_iter().flatten().collect())
    }

    fn point(&mut self) -> Option<Point> {
        Some(Point::new(self.f64()?, self.f64()?))
    }

    fn contacts(&mut self) -> Option<Vec<Contact>> {
        self.many(|from| {
            let [kind] = from.take()?;
            Some(match kind {
                0 => Contact::Nothing,
                1 => Contact::Clamp,
                2 => Contact::Platen,
                3 => Contact::Mold(PlacementId(from.u32()?)),
                _ => return None,
            })
        })
    }

    fn sheet(&mut self) -> Option<Sheet> {
        let sheet = Sheet {
            positions: self.groups(f32::from_le_bytes)?,
            triangles: self.groups(u32::from_le_bytes)?,
            thickness: self.f32s()?,
            surplus: self.f32s()?,
            contact: self.contacts()?,
        };
        let nodes = sheet.positions.len();
        let is_whole = [sheet.thickness.len(), sheet.surplus.len(), sheet.contact.len()]
            .iter()
            .all(|length| *length == nodes);
        let has_node = |node: &u32| usize::try_from(*node).is_ok_and(|node| node < nodes);
        (is_whole && sheet.triangles.as_flattened().iter().all(has_node)).then_some(sheet)
    }

    fn map(&mut self) -> Option<Map> {
        let map = Map {
            bounds: Rect { min: self.point()?, max: self.point()? },
            columns: self.count()?,
            rows: self.count()?,
            ratios: self.f32s()?,
            surplus: self.f32s()?,
            heights: self.f32s()?,
            contacts: self.contacts()?,
        };
        let count = map.columns.checked_mul(map.rows)?;
        let is_whole = [map.ratios.len(), map.surplus.len(), map.heights.len(), map.contacts.len()]
            .iter()
            .all(|length| *length == count);
        (count > 0 && is_whole).then_some(map)
    }

    fn ground(&mut self) -> Option<HeightField> {
        let (corner, spacing) = (self.point()?, Length::mm(self.f64()?));
        let columns = self.count()?;
        HeightField::of(corner, spacing, columns, self.f32s()?)
    }

    fn spot(&mut self) -> Option<Spot> {
        let at = self.point()?;
        let (height, ratio) = (Length::mm(self.f64()?), self.f64()?);
        let (number, other) = (self.u32()?, PlacementId(self.u32()?));
        let why = match number {
            0 => Why::TopEdge,
            1 => Why::Wall,
            2 => Why::Foot,
            3 => Why::Between(other),
            4 => Why::BesideClamp,
            5 => Why::Floor,
            6 => Why::Top,
            7 => Why::Bed,
            _ => return None,
        };
        Some(Spot { at, height, ratio, why })
    }

    fn web(&mut self) -> Option<Web> {
        Some(Web {
            kind: if self.u32()? == 0 { WebKind::Fold } else { WebKind::Span },
            at: self.point()?,
            extent: Length::mm(self.f64()?),
            measure: self.f64()?,
            surface: Area::mm2(self.f64()?),
            severity: match self.u32()? {
                0 => Severity::Note,
                1 => Severity::Caution,
                2 => Severity::Stop,
                _ => return None,
            },
            molds: self.many(|from| from.u32().map(PlacementId))?,
        })
    }

    fn bridge(&mut self) -> Option<Bridge> {
        let at = self.point()?;
        let (gap, covers) = (Length::mm(self.f64()?), Area::mm2(self.f64()?));
        let (is_of_one, id) = (self.u32()? != 0, PlacementId(self.u32()?));
        Some(Bridge { at, gap, covers, mold: is_of_one.then_some(id) })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drape::{Settings, forecast};
    use crate::plan::{PullId, sample};

    fn coarse() -> Forecast {
        let settings = Settings { mesh: Length::mm(12.0), ..Settings::default() };
        forecast(&sample(), PullId(1), &settings, &mut ()).expect("a forecast")
    }

    #[test]
    fn a_forecast_comes_back_to_the_last_bit() {
        let told = coarse();
        let bytes = told.to_bytes();
        assert_eq!(Forecast::from_bytes(&bytes), Some(told));
    }

    #[test]
    fn bytes_that_are_cut_short_too_long_or_of_something_else_are_no_forecast() {
        let bytes = coarse().to_bytes();
        for length in (0..bytes.len()).step_by(bytes.len() / 97) {
            assert_eq!(Forecast::from_bytes(&bytes[..length]), None, "{length}");
        }
        assert_eq!(Forecast::from_bytes(&[&bytes[..], &[0]].concat()), None);
        assert_eq!(Forecast::from_bytes(&[0xff; 4000]), None);
    }
}
