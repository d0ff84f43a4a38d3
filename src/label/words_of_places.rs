//! The words of labels on bins and racks.

use crate::farm::{BinCode, Farm, Settings};

use super::field::{Content, Field};
use super::scan_text::{of_bin, of_rack};
use super::span::spans;
use super::words_of_packs::{say_species, species};

/// Writes the words of a bin's label.
pub fn of_a_bin(farm: &Farm, bin: BinCode, settings: &Settings) -> Content {
    let standing = farm.bins().get(&bin).and_then(|bin| bin.standing.as_ref());
    let bed = farm.bins().get(&bin).and_then(|bin| bin.bed);
    let mut content = Content {
        name: bin.to_string(),
        qr: Some(of_bin(bin, settings)),
        ..Content::default()
    };
    content.say(Field::Bin, Some(bin));
    content.say(Field::Place, standing.map(|standing| &standing.place));
    content.say(Field::Bedded, bed.map(|bed| farm.lot(bed).when.day()));
    let lives = bed.and_then(|bed| species(farm, bed));
    let meant = standing.and_then(|standing| standing.facts.species.as_deref());
    say_species(&mut content, lives.as_deref().or(meant));
    content.say_farm(settings);
    content
}

/// Writes the words of a rack's label.
pub fn of_a_rack(farm: &Farm, rack: &str, settings: &Settings) -> Content {
    let bins = farm.bins().iter();
    let on_it = bins.filter(|(_, bin)| {
        let standing = bin.standing.as_ref();
        standing.is_some_and(|standing| standing.place.rack() == rack)
    });
    let bins: Vec<String> = on_it.map(|(code, _)| code.to_string()).collect();
    let mut content = Content {
        name: rack.to_owned(),
        qr: Some(of_rack(rack, settings)),
        ..Content::default()
    };
    content.say(Field::Rack, Some(rack));
    let bins = Some(spans(bins)).filter(|bins| !bins.is_empty());
    content.say(Field::Place, bins.map(|bins| format!("Bins {bins}")));
    content.say_farm(settings);
    content
}
