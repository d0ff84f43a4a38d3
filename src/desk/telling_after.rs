//! Tells what happened to packs after they were made: sales, returns, complaints, holds, recalls, prints.

use crate::farm::{Event, HoldStep, Meant, Reach, RecallStep, Thrown};

use super::telling::{Teller, buyer, with};
use crate::farm::phrase::{count, listed};

impl Teller<'_> {
    /// Tells of what went out, and what was said about it.
    pub fn left(&self, event: &Event<Meant>) -> String {
        match event {
            Event::Sale { packs, to, despite } => {
                let text = format!("{} sold {}", self.packs(packs), buyer(to));
                let text = with(text, "paper", to.document.as_ref());
                with(text, "despite a hold:", despite.as_ref())
            }
            Event::Return {
                packs,
                state,
                buyer,
                market,
            } => {
                let packs = self.packs(packs);
                match buyer.as_ref().or(market.as_ref()) {
                    Some(from) => format!("{packs} came back {state} from {from}"),
                    None => format!("{packs} came back {state}"),
                }
            }
            Event::Thrown { what, why } => match what {
                Thrown::Some(draw) => format!("{} thrown out: {why}", self.draw(draw)),
                Thrown::Packs(packs) => format!("{} thrown out: {why}", self.packs(packs)),
                Thrown::Bed(bed) => format!("{} thrown out whole: {why}", self.bed(bed)),
            },
            Event::Settlement { complaint, why } => format!("complaint {complaint} settled: {why}"),
            Event::Complaint { pack, facts } => {
                let name = self.farm.complaint_name(self.entry);
                let name = name.map(|name| format!(" {name}")).unwrap_or_default();
                let about = pack.as_ref().map(|pack| {
                    let run = self.lot(pack.run);
                    pack.serial.map_or_else(
                        || run.clone(),
                        |serial| format!("{run} #{}", serial.number()),
                    )
                });
                let text = match about {
                    Some(pack) => format!("complaint{name} about {pack}: {}", facts.sign),
                    None => format!("complaint{name}: {}", facts.sign),
                };
                let text = with(text, "heard", facts.heard.as_ref());
                let text = with(text, "bought at", facts.bought_at.as_ref());
                let text = with(text, "about", facts.bought_about.as_ref());
                with(text, "reach them", facts.contact.as_ref())
            }
            _ => String::new(),
        }
    }

    /// Tells of holds, recalls and prints.
    pub fn care(&self, event: &Event<Meant>) -> String {
        match event {
            Event::Hold { lot, step, reason } => {
                let lot = self.lot(*lot);
                match step {
                    HoldStep::Hold(Reach::Parts) => {
                        format!("{lot} put on hold, with all it is part of: {reason}")
                    }
                    HoldStep::Hold(Reach::All) => {
                        format!("{lot} put on hold, with all it may have reached: {reason}")
                    }
                    HoldStep::Release => format!("{lot} released: {reason}"),
                }
            }
            Event::Recall {
                recall,
                step,
                lots,
                packs,
                buyer,
                why,
            } => {
                let lots: Vec<String> = lots.iter().map(|lot| self.lot(*lot)).collect();
                let lots = Some(listed(&lots)).filter(|lots| !lots.is_empty());
                let packs = Some(self.packs(packs)).filter(|packs| !packs.is_empty());
                let of = |packs: Option<String>| packs.or_else(|| lots.clone());
                let buyer = buyer.as_ref().map(ToString::to_string);
                let text = match step {
                    RecallStep::Open => {
                        let from = lots.clone().map(|lots| format!(" from {lots}"));
                        let text = format!("{recall} opened{}", from.unwrap_or_default());
                        with(text, "packs", packs)
                    }
                    RecallStep::Told => {
                        let buyer = buyer.unwrap_or_else(|| "a buyer".to_owned());
                        let of = of(packs).map(|of| format!(" of {of}"));
                        format!("{recall}: told {buyer}{}", of.unwrap_or_default())
                    }
                    RecallStep::Returned => {
                        let back = of(packs).unwrap_or_else(|| "packs".to_owned());
                        let from = buyer.map(|buyer| format!(" from {buyer}"));
                        format!("{recall}: {back} back{}", from.unwrap_or_default())
                    }
                    RecallStep::Close => format!("{recall} closed"),
                };
                match why {
                    Some(why) => format!("{text}: {why}"),
                    None => text,
                }
            }
            Event::Print { packs, facts } => {
                let labels = count(facts.printed, "label", "labels");
                let (template, printer) = (&facts.template, &facts.printer);
                let text = format!("{labels} `{template}` printed on {printer}");
                let text = with(text, "for", Some(self.packs(packs)));
                let spoiled = Some(facts.spoiled).filter(|spoiled| *spoiled > 0);
                let text = with(text, "spoiled", spoiled);
                with(text, "because", facts.why.as_ref())
            }
            _ => String::new(),
        }
    }
}
