//! A fitted map with what is left at every point.

use super::{Conflict, ExtendedLine, SurgeResidual};
use crate::compressor::{CompressorMap, MapKind};
use crate::quantity::*;

/// What is left at a point of a speed line: the nearest point of the smoothed line, and how far it is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LineResidual {
    /// The line's speed.
    pub speed: CorrectedSpeed,
    /// The given corrected flow.
    pub flow: CorrectedMassFlow,
    /// The given pressure ratio.
    pub ratio: PressureRatio,
    /// Given flow over fitted, less one.
    pub flow_off: f64,
    /// Given pressure ratio over fitted, less one.
    pub ratio_off: f64,
    /// The line of the file where it stands, if it was read from one.
    pub row: Option<usize>,
}

impl LineResidual {
    /// How far the point lies from its line, relative.
    pub(super) fn size(&self) -> f64 {
        self.flow_off.hypot(self.ratio_off)
    }
}

/// What is left at a point with an efficiency.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ContourResidual {
    /// The corrected speed at which the map holds the point.
    pub speed: CorrectedSpeed,
    /// The given corrected flow.
    pub flow: CorrectedMassFlow,
    /// The given pressure ratio.
    pub ratio: PressureRatio,
    /// The given efficiency.
    pub efficiency: Efficiency,
    /// Given efficiency less that of the map, as a fraction: 0.01 is one point.
    pub off: f64,
    /// The line of the file where it stands, if it was read from one.
    pub row: Option<usize>,
}

/// A map that was fitted to points, and how well.
#[derive(Clone, Debug, PartialEq)]
pub struct FittedMap {
    pub(super) map: CompressorMap,
    pub(super) lines: Vec<LineResidual>,
    pub(super) contours: Vec<ContourResidual>,
    pub(super) conflicts: Vec<Conflict>,
    pub(super) extended: Vec<ExtendedLine>,
    pub(super) surge: Vec<SurgeResidual>,
}

impl FittedMap {
    /// Says in which lines of a file its points stand, in their order.
    pub(super) fn stand_in(&mut self, rows: Vec<usize>) {
        for (i, row) in rows.into_iter().enumerate() {
            let (line, contour) = (self.lines[i], self.contours[i]);
            for conflict in &mut self.conflicts {
                match conflict {
                    Conflict::OffLine { residual, .. } if *residual == line => residual.row = Some(row),
                    Conflict::FarOff { residual, .. } if *residual == contour => residual.row = Some(row),
                    _ => {}
                }
            }
            (self.lines[i].row, self.contours[i].row) = (Some(row), Some(row));
        }
    }
    /// The same, said to be made from a file.
    pub(in crate::compressor) fn read_from(mut self, file: &str, kind: MapKind) -> Self {
        self.map = self.map.read_from(file, kind);
        self
    }
    /// The map.
    pub fn map(&self) -> &CompressorMap {
        &self.map
    }
    /// The map alone.
    pub fn into_map(self) -> CompressorMap {
        self.map
    }
    /// What is left at each point of the speed lines.
    pub fn line_residuals(&self) -> &[LineResidual] {
        &self.lines
    }
    /// What is left at each point with an efficiency inside the map.
    pub fn efficiency_residuals(&self) -> &[ContourResidual] {
        &self.contours
    }
    /// What is left at each row of a printed surge line between the lowest and the highest speed line.
    pub fn surge_residuals(&self) -> &[SurgeResidual] {
        &self.surge
    }
    /// What contradicts the rest, point by point, each with its line of the file: what is wrong with speed lines and surge
    /// line first, then the contours, the furthest off first. The map was made in spite of it.
    pub fn conflicts(&self) -> &[Conflict] {
        &self.conflicts
    }
    /// The speed lines that were extended to the printed surge line.
    pub fn extended(&self) -> &[ExtendedLine] {
        &self.extended
    }
    /// Root mean square of what is left of pressure ratio, relative; without what contradicts the rest.
    pub fn ratio_rms(&self) -> Fraction {
        rms(self.sound_lines().map(|residual| residual.ratio_off))
    }
    /// Root mean square of what is left of flow, relative; without what contradicts the rest.
    pub fn flow_rms(&self) -> Fraction {
        rms(self.sound_lines().map(|residual| residual.flow_off))
    }
    /// Root mean square of what is left of efficiency, in points of efficiency; without what contradicts the rest.
    pub fn efficiency_rms(&self) -> Fraction {
        let sound = self.contours.iter().filter(|residual| self.far_off(residual).is_none());
        rms(sound.map(|residual| residual.off))
    }
    fn sound_lines(&self) -> impl Iterator<Item = &LineResidual> {
        self.lines.iter().filter(|residual| self.off_line(residual).is_none())
    }
    /// The conflict of a point of a speed line with its line.
    pub(super) fn off_line(&self, point: &LineResidual) -> Option<&Conflict> {
        let its = |c: &&Conflict| matches!(c, Conflict::OffLine { residual, .. } if residual == point);
        self.conflicts.iter().find(its)
    }
    /// The conflict of an efficiency with the rest.
    pub(super) fn far_off(&self, point: &ContourResidual) -> Option<&Conflict> {
        let its = |c: &&Conflict| matches!(c, Conflict::FarOff { residual, .. } if residual == point);
        self.conflicts.iter().find(its)
    }
    /// The fit in words: how many points, and what is left of them.
    pub fn summary(&self) -> String {
        let conflicts = match self.conflicts.len() {
            0 => String::new(),
            1 => "; 1 point contradicts the rest and is not in these figures".into(),
            n => format!("; {n} points contradict the rest and are not in these figures"),
        };
        let surge = match self.surge.len() {
            0 => String::new(),
            n => {
                let off = rms(self.surge.iter().map(|residual| residual.off));
                format!(", {n} points of the surge line within {:.2} % of flow", off.percent())
            }
        };
        let extended = match self.extended.len() {
            0 => String::new(),
            1 => "; 1 line extended to the surge line".into(),
            n => format!("; {n} lines extended to the surge line"),
        };
        let efficiencies = match self.contours.len() {
            0 => String::new(),
            n => format!(", {n} efficiencies within {:.2} points", self.efficiency_rms().percent()),
        };
        format!(
            "{} line points within {:.2} % of pressure ratio and {:.2} % of flow{efficiencies}{surge} (RMS){extended}{conflicts}",
            self.lines.len(),
            self.ratio_rms().percent(),
            self.flow_rms().percent(),
        )
    }
}

pub(super) fn rms(values: impl Iterator<Item = f64>) -> Fraction {
    let (count, sum) = values.fold((0.0_f64, 0.0), |(count, sum), value| (count + 1.0, sum + value * value));
    Fraction::from_si_unchecked((sum / count.max(1.0)).sqrt())
}
