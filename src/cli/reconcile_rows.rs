//! The rows of `prints` that `castlot reconcile` records: which packs have a good label now.

use std::collections::BTreeSet;

use crate::desk::mark_or_code;
use crate::desk::rows::{maybe, put};
use crate::farm::{Farm, LotId, Noun, Serial, SerialRange, Settings};
use crate::label::{Count, Sale, Standing, all_packs, counts, ranges, templates_of_product};
use crate::sheets::Row;

use super::failure::Failure;
use super::label_again::{listed, packs};
use super::reconcile::Args;
use super::shed::Shed;
use super::voice;

/// What rows of `prints` are made from.
pub struct Desk<'a> {
    /// The farm's folder.
    pub shed: &'a Shed,
    /// What was typed.
    pub args: &'a Args,
    /// The farm.
    pub farm: &'a Farm,
    /// Its settings.
    pub settings: &'a Settings,
    /// The run.
    pub run: LotId,
}

impl Desk<'_> {
    /// Makes a row for each template.
    pub fn rows(&self, printed: &str) -> Result<Vec<Row<'static>>, Failure> {
        let printed = self.serials(printed, "--printed")?;
        let spoiled = self.args.spoiled.as_deref();
        let spoiled =
            spoiled.map_or_else(|| Ok(BTreeSet::new()), |s| self.serials(s, "--spoiled"))?;
        if let Some(stray) = spoiled.difference(&printed).next() {
            let text = format!(
                "pack {} is spoiled and not among those printed",
                stray.number()
            );
            return Err(Failure::refused(text)
                .hint("`--spoiled` names some of the packs that `--printed` names"));
        }
        let own = self.farm.product(self.run);
        let templates = self
            .args
            .templates(own.map(|p| templates_of_product(self.settings, p)));
        if let [first, _, ..] = &templates[..]
            && (!spoiled.is_empty() || self.args.wasted > 0)
        {
            let text = format!("these packs have {} labels each", templates.len());
            return Err(Failure::refused(text).hint(format!(
                "say whose were spoiled, one after the other, as in `--template {first}`"
            )));
        }
        if self.args.file.is_some() && templates.len() > 1 {
            let text = "one file is of one template, and these packs have several labels";
            return Err(Failure::refused(text).hint("say which with `--template NAME`"));
        }
        let good: BTreeSet<Serial> = printed.difference(&spoiled).copied().collect();
        if good.is_empty() {
            let text = "no pack got a good label, so that there is nothing to count yet";
            return Err(Failure::refused(text).hint(format!(
                "print them once more, which needs no reason, and count those with `--wasted {}`",
                spoiled.len()
            )));
        }
        self.refuse_second(&good, &templates)?;
        self.tell_of_stop()?;
        let rows = templates
            .iter()
            .map(|template| self.row(template, &printed, &good));
        rows.collect()
    }

    /// Reads serials: `all`, or `1-20,25`.
    fn serials(&self, text: &str, flag: &str) -> Result<BTreeSet<Serial>, Failure> {
        let made = self
            .farm
            .lot(self.run)
            .shelf
            .as_ref()
            .map_or(0, |shelf| shelf.made());
        let run = mark_or_code(self.farm, self.run);
        if text.trim() == "all" {
            return Ok(all_packs(made)
                .into_iter()
                .flat_map(SerialRange::serials)
                .collect());
        }
        let mut serials = BTreeSet::new();
        for part in text.split(',').map(str::trim) {
            let (first, last) = part.split_once('-').unwrap_or((part, part));
            let read = |text: &str| Serial::new(text.trim().trim_start_matches('#').parse().ok()?);
            let range = read(first).zip(read(last));
            let range = range.and_then(|(first, last)| SerialRange::new(first, last));
            let range = range.ok_or_else(|| {
                Failure::refused(format!("`{part}` is not a serial or a row of serials")).hint(
                    format!("write them as in `{flag} 1-20,25`, or `{flag} all`"),
                )
            })?;
            if range.last().number() > made {
                let last = range.last().number();
                let text = format!("{run} has packs 1 to {made}; there is no {last}");
                return Err(Failure::refused(text));
            }
            serials.extend(range.serials());
        }
        Ok(serials)
    }

    /// A second good label of a pack needs a reason.
    fn refuse_second(&self, good: &BTreeSet<Serial>, templates: &[String]) -> Result<(), Failure> {
        if self.args.again.again {
            return Ok(());
        }
        let counted = counts(self.farm, self.run);
        for template in templates {
            let Some(count) = counted.get(template) else {
                continue;
            };
            let has = |serial: &&Serial| count.confirmed(**serial).is_some();
            let twice = ranges(good.iter().filter(has).copied());
            if !twice.is_empty() {
                return Err(self.second(template, count, &twice));
            }
        }
        Ok(())
    }

    fn second(&self, template: &str, count: &Count, twice: &[SerialRange]) -> Failure {
        let run = mark_or_code(self.farm, self.run);
        let (packs, have) = packs(twice);
        let text = format!("{packs} of {run} {have} a good `{template}` label already");
        let failure = Failure::refused(text);
        let left = listed(&count.without());
        let failure = match left.is_empty() {
            true => failure,
            false => failure.hint(format!(
                "those without one: `castlot reconcile {run} --template {template} --printed {left}`"
            )),
        };
        failure.hint(
            "if they were printed once more, say so with `--again --why \"label rubbed off\"`",
        )
    }

    fn row(
        &self,
        template: &str,
        printed: &BTreeSet<Serial>,
        good: &BTreeSet<Serial>,
    ) -> Result<Row<'static>, Failure> {
        let code = self.farm.lot(self.run).code;
        let picks = ranges(good.iter().copied());
        let picks: Vec<_> = picks
            .iter()
            .map(|range| format!("{code} #{range}"))
            .collect();
        let (digest, printer) = self.digest(template, &ranges(printed.iter().copied()))?;
        let mut row = self.args.said.row(Noun::Print);
        put(&mut row, "packs", picks.join("; "));
        put(&mut row, "template", template);
        put(&mut row, "printer", printer);
        let wasted = self.args.wasted as usize;
        let spoiled = printed.len() - good.len() + wasted;
        put(&mut row, "printed", (printed.len() + wasted).to_string());
        put(&mut row, "spoiled", spoiled.to_string());
        put(&mut row, "digest", digest);
        maybe(&mut row, "why", self.why().as_deref());
        Ok(row)
    }

    /// Why packs were labelled again, and why although they were stopped: what the row keeps of both.
    fn why(&self) -> Option<String> {
        let again = self.args.again.why.clone();
        let despite = self.args.despite.as_deref().map(str::trim);
        let despite = despite.map(|why| format!("despite the hold or recall: {why}"));
        let both: Vec<String> = again.into_iter().chain(despite).collect();
        (!both.is_empty()).then(|| both.join("; "))
    }

    /// What was printed is counted, held or not; but it is told where nobody says why a stopped run was labelled.
    fn tell_of_stop(&self) -> Result<(), Failure> {
        match self.args.despite.as_deref().map(str::trim) {
            Some("") => Err(Failure::refused(
                "`--despite` says why, and nothing is said",
            )),
            Some(_) => Ok(()),
            None => {
                if let Sale::Stopped(stop) = Standing::of(self.farm).for_sale(self.run) {
                    let code = self.farm.lot(self.run).code;
                    voice::note(format!(
                        "warning: {code}: {} ({}); nothing says why it was labelled all the same: `--despite WHY`",
                        stop.line, stop.reason
                    ));
                }
                Ok(())
            }
        }
    }
}
