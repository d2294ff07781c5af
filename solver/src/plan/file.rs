//! Plan files as text.

use super::Plan;
use crate::finding::{Finding, Place};

/// What the `format` of every plan file says.
const FORMAT: &str = "traywright-plan";

/// The newest version of the format that is understood.
const VERSION: u32 = 1;

impl Plan {
    /// The plan file: JSON, two spaces a level, a newline at its end; the same plan gives the same bytes.
    pub fn to_json(&self) -> String {
        // Nothing in a plan can fail to be written: its keys are texts, and numbers that are none become null.
        let mut text = serde_json::to_string_pretty(self).unwrap_or_default();
        text.push('\n');
        text
    }

    /// Reads a plan file; `name` is what findings call it.
    ///
    /// # Errors
    /// One finding: `P050` where the text is no plan file, `P051` where it is of another format or version.
    ///
    /// ```
    /// use traywright::plan::Plan;
    /// let finding = Plan::from_json("ferry.plan.json", "{").unwrap_err();
    /// assert_eq!(finding.code, "P050");
    /// ```
    pub fn from_json(name: &str, text: &str) -> Result<Plan, Finding> {
        let place = |line_column| Place { file: name.to_owned(), line_column, ..Place::default() };
        let plan: Plan = serde_json::from_str(text).map_err(|error| {
            let at = (error.line() > 0).then(|| (error.line(), error.column().max(1)));
            Finding::listed("P050", format!("this is no whole plan file: {error}")).at(place(at))
        })?;
        if plan.format != FORMAT || plan.version != VERSION {
            let cause = format!("this is a plan of format `{}`, version {}", plan.format, plan.version);
            let remedy = format!("Plan again: this program reads `{FORMAT}`, version {VERSION}.");
            return Err(Finding::listed("P051", cause).remedied(remedy).at(place(None)));
        }
        Ok(plan)
    }
}
