//! The page of a comparison: plots against thickness, and a table.

use super::{Compared, Comparison};
use crate::draw::{Dot, cell, escape, inline, page, plain, plot, table_head, wrap};
use crate::plan::ClaimState;
use crate::shop::Answer;

impl Comparison {
    /// A page that needs nothing else.
    pub fn html(&self) -> String {
        let title =
            if self.title.is_empty() { "Stocks beside each other".to_owned() } else { plain(&self.title) };
        let fits = self.rows.iter().filter(|r| matches!(r.answer, Answer::Plan { .. })).count();
        let mut inner = format!(
            "<header>\n<h1>{}</h1>\n<p class=\"soft\">{}, each solved afresh with the same effort; {fits} fit. A \
             full dot is proven best; a hollow one may still be bettered.</p>\n</header>\n",
            escape(&title),
            match self.rows.len() {
                1 => "1 stock".to_owned(),
                n => format!("{n} stocks and variants"),
            }
        );
        let ml = |of: fn(&crate::plan::Volumes) -> crate::length::Volume| {
            move |row: &Compared| match &row.answer {
                Answer::Plan { plan, .. } => Some(of(&plan.tight.volumes_mm3).to_ml_f64()),
                _ => None,
            }
        };
        let wasted = self.dots(&ml(|v| v.wasted));
        let spare = self.dots(&ml(|v| v.spare));
        let price = |row: &Compared| Some(row.taken.as_ref()?.price_hundredths? as f64 / 100.0);
        let price = self.dots(&price);
        let mut figures = String::new();
        for (what, dots) in
            [("wasted, ml", wasted), ("spare room, ml", spare), ("price of the sheets", price)]
        {
            if dots.is_empty() {
                continue;
            }
            let (wide, narrow) =
                (plot(what, "thickness, mm", &dots, 168.0), plot(what, "thickness, mm", &dots, 84.0));
            figures += &format!(
                "<figure>\n{}{}</figure>\n",
                inline(&wide.0, (wide.1, wide.2), "wide", what),
                inline(&narrow.0, (narrow.1, narrow.2), "narrow", what)
            );
        }
        inner += &wrap("plots", "Against thickness", &figures);
        inner += &wrap("table", "All of them", &self.html_table());
        page(&title, &inner)
    }

    fn dots(&self, value: &dyn Fn(&Compared) -> Option<f64>) -> Vec<Dot> {
        let dot = |row: &Compared| {
            let proven = match &row.answer {
                Answer::Plan { plan, .. } => plan.claim.state == ClaimState::Proven,
                _ => false,
            };
            Some(Dot {
                name: name(row),
                x: row.stock.stock.thickness.to_mm_f64(),
                y: value(row)?,
                full: proven,
            })
        };
        self.rows.iter().filter_map(dot).collect()
    }

    fn html_table(&self) -> String {
        let columns = [
            ("result", "Result", ""),
            ("gap_percent", "gap, %", "n"),
            ("wasted_ml", "wasted, ml", "n"),
            ("spare_ml", "spare, ml", "n"),
            ("mass_g", "mass, g", "n"),
            ("panels", "panels", "n"),
            ("sheets", "sheets", "n"),
            ("cut_m", "cut, m", "n"),
            ("sheet_price", "price", "n"),
        ];
        let heads: Vec<(&str, &str)> = std::iter::once(("", "Stock"))
            .chain(columns.iter().map(|(_, label, class)| (*class, *label)))
            .collect();
        let mut out = format!("<table class=\"cards\">\n{}<tbody>\n", table_head(&heads));
        let names: Vec<&str> = columns.iter().map(|(name, ..)| *name).collect();
        for (row, cells) in self.rows.iter().zip(&self.table().pick(&names).rows) {
            let cells = cells
                .iter()
                .zip(columns)
                .map(|(value, (_, label, class))| cell(class, label, &escape(value.shown())));
            out += &format!(
                "<tr>{}{}</tr>\n",
                cell("first", "Stock", &escape(&name(row))),
                cells.collect::<String>()
            );
        }
        out + "</tbody>\n</table>\n"
    }
}

fn name(row: &Compared) -> String {
    if row.variant.is_empty() {
        plain(&row.stock.id)
    } else {
        plain(&format!("{}, {}", row.stock.id, row.variant))
    }
}
