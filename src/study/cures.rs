//! What stops each candidate, in order, and what would help.

use super::Sizing;
use crate::shaft::{Control, Met, NotFound, Remedy, limits_in_order, remedies};

/// The limits that a candidate meets as its power rises, and the cures that were worked out.
#[derive(Clone, Debug, PartialEq)]
pub struct Cures {
    /// The index of the entry that they belong to.
    pub entry: usize,
    /// The boost that the arrival is told for; `None` where no power of the candidate needs any.
    pub control: Option<Control>,
    /// The limits in the order in which they are met.
    pub met: Vec<Met>,
    /// The cures by the power they give, the car as it is before them.
    pub remedies: Vec<Remedy>,
}

impl Sizing {
    /// Works out for every entry what stops it, in order, and what would help; every report then says it.
    ///
    /// # Errors
    ///
    /// [`NotFound`] for inputs that a formula refuses.
    pub fn with_cures(mut self) -> Result<Self, NotFound> {
        self.cures = Some(self.worked_out_cures()?);
        Ok(self)
    }

    fn worked_out_cures(&self) -> Result<Vec<Cures>, NotFound> {
        let study = &self.study;
        let one = |(index, entry): (usize, &super::Entry)| {
            let candidate = &study.candidates[entry.candidate];
            let turbine = &candidate.housings()[entry.housing].turbine;
            let plan = &study.fuels[entry.fuel];
            let control = entry.line().map(|line| line.control);
            let plans = (plan, study.fuels.as_slice());
            let installation = &study.installation;
            Ok(Cures {
                entry: index,
                control,
                met: limits_in_order(installation, candidate, turbine, plan, &study.target)?,
                remedies: remedies(installation, candidate, turbine, plans, &study.target, control)?,
            })
        };
        self.entries.iter().enumerate().map(one).collect()
    }
}
