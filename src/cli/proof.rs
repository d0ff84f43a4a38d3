//! The proof of `castlot label`: nothing prints unproofed, and `--proof` only tells what was found.

use serde::Serialize;

use crate::farm::{Farm, Settings};
use crate::label::{Conditions, Order, Proof, Proofed, Sheaf, Templates, Watch};

use super::failure::{Failure, Kind};
use super::label_failure::proof_hints;
use super::phrase::count;
use super::shed::Shed;
use super::waiting::Waiting;
use super::{out, voice};

/// What `castlot label` is told of the proof.
#[derive(Debug, clap::Args)]
pub struct ProofArgs {
    /// Only tell what is wrong with the labels; nothing is written.
    #[arg(long)]
    pub proof: bool,
    /// Label lots that are held or recalled all the same, and why.
    #[arg(long, value_name = "WHY")]
    pub despite: Option<String>,
}

/// What a proof is made of.
pub struct ProofOf<'a> {
    /// The labels.
    pub order: &'a Order,
    /// The farm.
    pub farm: &'a Farm,
    /// Its settings.
    pub settings: &'a Settings,
    /// Its templates.
    pub templates: &'a Templates,
    /// The printer that was named.
    pub printer: Option<&'a str>,
    /// Who tells that it takes its time.
    pub waiting: &'a Waiting,
}

impl ProofArgs {
    /// Lays labels out and proofs them.
    pub fn proof<'a>(&self, shed: &Shed, of: &ProofOf<'a>) -> Result<Proofed<'a>, Failure> {
        let despite = self.despite.as_deref().map(str::trim);
        if despite == Some("") {
            return Err(Failure::refused(
                "`--despite` says why, and nothing is said",
            ));
        }
        let watch = |done, all| of.waiting.counting("looking at labels", done, all);
        let conditions = Conditions {
            today: of.settings.zone.to_datetime(shed.now).date(),
            printer: of.printer,
            despite,
            watch: Watch::by(&watch),
        };
        Ok(of
            .order
            .proof(of.farm, of.settings, of.templates, &conditions)?)
    }
}

/// Returns labels to print, after a word on whatever the proof warns of.
pub fn to_print(proofed: Proofed<'_>) -> Result<Vec<Sheaf<'_>>, Failure> {
    for finding in &proofed.proof().warned {
        voice::note(format!("warning: {finding}"));
    }
    Ok(proofed.to_print()?)
}

/// Returns labels to be shown in pictures, after a word on whatever the proof finds: what is wrong may be seen there.
pub fn to_look_at<'a>(proofed: &Proofed<'a>) -> Vec<Sheaf<'a>> {
    for finding in &proofed.proof().refused {
        voice::note(format!("would be refused: {finding}"));
    }
    for finding in &proofed.proof().warned {
        voice::note(format!("warning: {finding}"));
    }
    proofed.to_look_at().to_vec()
}

/// Tells what a proof found, as the result: exit code 1 where it refuses something.
pub fn report(shed: &Shed, proofed: &Proofed) -> Result<(), Failure> {
    let proof = proofed.proof();
    let labels = proofed
        .to_look_at()
        .iter()
        .map(|sheaf| sheaf.labels.len())
        .sum();
    match shed.json {
        true => out::print(&out::json(&Told::of(labels, proof)))?,
        false => out::print(&in_words(labels, proof))?,
    }
    match proof.refused.is_empty() {
        true => Ok(()),
        false => Err(Failure {
            kind: Kind::Found,
            texts: Vec::new(),
            hints: proof_hints(proof),
        }),
    }
}

fn in_words(labels: usize, proof: &Proof) -> String {
    let refused = proof
        .refused
        .iter()
        .map(|finding| format!("refused: {finding}\n"));
    let warned = proof
        .warned
        .iter()
        .map(|finding| format!("warned: {finding}\n"));
    let ends = match (proof.refused.len(), proof.warned.len()) {
        (0, 0) => "nothing to say".to_owned(),
        (refused, warned) => format!("{refused} refused, {warned} warned of"),
    };
    let labels = match labels {
        0 => "no label could be laid out".to_owned(),
        some => format!("{} proofed", count(some, "label", "labels")),
    };
    let last = format!("{labels}: {ends}\n");
    refused.chain(warned).chain([last]).collect()
}

/// The report as data.
#[derive(Serialize)]
struct Told {
    labels: usize,
    refused: Vec<ToldFinding>,
    warned: Vec<ToldFinding>,
}

#[derive(Serialize)]
struct ToldFinding {
    on: String,
    finding: &'static str,
    text: String,
}

impl Told {
    fn of(labels: usize, proof: &Proof) -> Self {
        let refused = proof.refused.iter().map(|finding| ToldFinding {
            on: finding.on.clone(),
            finding: finding.what.key(),
            text: finding.what.to_string(),
        });
        let warned = proof.warned.iter().map(|finding| ToldFinding {
            on: finding.on.clone(),
            finding: finding.what.key(),
            text: finding.what.to_string(),
        });
        Self {
            labels,
            refused: refused.collect(),
            warned: warned.collect(),
        }
    }
}
