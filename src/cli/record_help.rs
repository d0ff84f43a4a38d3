//! What `castlot record` says of its nouns and their columns.

use crate::farm::Noun;

/// Tells whether a column holds a list, so that its flag may be given several times.
pub fn is_list(column: &str) -> bool {
    matches!(
        column,
        "takes" | "from" | "clears" | "packs" | "values" | "lots"
    )
}

/// Returns what a noun is for.
pub fn about(noun: Noun) -> &'static str {
    match noun {
        Noun::Bin => "Set up a bin in its place",
        Noun::Delivery => "Take in goods",
        Noun::Bed => "Make up a bed in a bin",
        Noun::Feed => "Feed a bed",
        Noun::Skip => "Note that a bed was not fed",
        Noun::Check => "Note what was seen in a bed",
        Noun::Split => "Make a share of a bed into a new one",
        Noun::Tip => "Tip a bed into another bin",
        Noun::Move => "Put a bin in another place",
        Noun::Sieving => "Sieve beds into a batch",
        Noun::Blend => "Put lots together into a batch",
        Noun::Test => "Note what a test of a lot gave",
        Noun::Pack => "Fill packs",
        Noun::Weighing => "Note what packs of a run really hold",
        Noun::Sale => "Sell packs",
        Noun::Return => "Take packs back",
        Noun::Count => "Note what is really left of a lot",
        Noun::Thrown => "Throw something out",
        Noun::Complaint => "Take a complaint",
        Noun::Settlement => "Settle a complaint",
        Noun::Hold => "Hold a lot, or release it",
        Noun::Recall => "Take a step of a recall",
        Noun::Print => "Note labels that were printed",
    }
}

/// Returns an example that runs on the demo farm.
pub fn example(noun: Noun) -> &'static str {
    match noun {
        Noun::Bin => "castlot record bin --bin A13 --place R1/S4/P1 --species \"Eisenia fetida\"",
        Noun::Delivery => {
            "castlot record delivery --kind bedding --name \"chopped straw\" --supplier \"a farm on the levels\" --amount 90kg --ref straw-13"
        }
        Noun::Bed => {
            "castlot record bed --bin A13 --takes \"straw-12 3.6kg\" --takes \"worms-1 500g\""
        }
        Noun::Feed => "castlot record feed --bin A01 --takes \"mix-109 300g\"",
        Noun::Skip => "castlot record skip --bin A09 --why \"food left\"",
        Noun::Check => "castlot record check --bin A09 --feed-left lots --temperature-c 24",
        Noun::Split => "castlot record split --bin C03 --share \"1 of 3\" --to-bin C13",
        Noun::Tip => "castlot record tip --bin A07 --to-bin A08",
        Noun::Move => "castlot record move --bin A07 --place BENCH/1/2",
        Noun::Sieving => {
            "castlot record sieving --kind castings --from A05 --from A06 --amount 4.2kg --clears all"
        }
        Noun::Blend => {
            "castlot record blend --kind feed --from \"manure-7 4.5kg\" --from \"card-6 1.6kg\" --ref mix-111"
        }
        Noun::Test => "castlot record test --lot blend-19 --test density --value 590 --unit g/L",
        Noun::Pack => "castlot record pack --product bag5 --count 4 --from \"sift-93 11.6kg\"",
        Noun::Weighing => "castlot record weighing --run run-93 --values \"20.1L; 19.9L; 20L\"",
        Noun::Sale => "castlot record sale --packs \"run-93 #2\" --market \"Quay market\"",
        Noun::Return => {
            "castlot record return --packs \"run-90 x2\" --state unsold --market \"Quay market\""
        }
        Noun::Count => {
            "castlot record count --lot straw-12 --found 71kg --why \"settled and dried\""
        }
        Noun::Thrown => "castlot record thrown --what \"mix-109 500g\" --why \"turned sour\"",
        Noun::Complaint => {
            "castlot record complaint --sign \"small flies\" --pack \"run-94 #2\" --heard \"by telephone\""
        }
        Noun::Settlement => {
            "castlot record settlement --complaint call-1 --why \"only damp, aired and dried\""
        }
        Noun::Hold => "castlot record hold --lot run-94 --state hold --reason \"flies reported\"",
        Noun::Recall => {
            "castlot record recall --recall recall-2 --step open --lots manure-7 --why \"bean test failed\""
        }
        Noun::Print => {
            "castlot record print --packs \"run-93 #1-3\" --template bag-front --printer \"shed laser\" --printed 4 --spoiled 1 --digest 0"
        }
    }
}

/// Returns what a column says, and what stands for its value.
pub fn says(noun: Noun, column: &str) -> (&'static str, &'static str) {
    of_noun(noun, column)
        .or_else(|| of_any(column))
        .or_else(|| of_delivery(column))
        .unwrap_or_else(|| of_rack_and_shop(column))
}

/// What a column says in one sheet and in no other.
fn of_noun(noun: Noun, column: &str) -> Option<(&'static str, &'static str)> {
    Some(match (noun, column) {
        (Noun::Bin, "when") => ("Since when; now, where nothing is said.", "WHEN"),
        (Noun::Bin, "species") => ("The species it is meant for.", "NAME"),
        (Noun::Bin | Noun::Bed | Noun::Move, "bin") => ("The bin's code.", "BIN"),
        (Noun::Split, "to_bin") => ("The empty bin that the new bed goes into.", "BIN"),
        (Noun::Delivery, "kind") => (
            "What came: manure, feedstock, bedding, worms, grit or packing.",
            "KIND",
        ),
        (Noun::Sieving, "kind") => (
            "What the sieving gave: castings, worms, cocoons, overs or liquid.",
            "KIND",
        ),
        (Noun::Blend, "kind") => (
            "What it makes: feed, bedding, castings, worms, cocoons, overs or liquid.",
            "KIND",
        ),
        (Noun::Sieving, "from") => (
            "Beds, each with an amount, or all without one and the whole in --amount.",
            "BED; BED",
        ),
        (Noun::Sieving, "amount") => ("What all the beds gave together.", "AMOUNT"),
        (Noun::Delivery, "amount") => ("How much, in weight, volume or pieces.", "AMOUNT"),
        (Noun::Check, "worms") => ("The look of the worms.", "LOOK"),
        (Noun::Complaint, "product") => ("The product, where no pack is named.", "PRODUCT"),
        (Noun::Complaint, "contact") => ("How to reach whoever complains.", "HOW"),
        (Noun::Complaint, "complaint") => (
            "Its name, where castlot is not to give the next one.",
            "NAME",
        ),
        (Noun::Settlement, "complaint") => ("The complaint's name.", "NAME"),
        (Noun::Hold, "state") => ("`hold` or `release`.", "STATE"),
        (Noun::Return, "state") => ("`unsold` or `complained`.", "STATE"),
        (Noun::Return, "buyer") => ("Who brings them back.", "BUYER"),
        (Noun::Recall, "buyer") => ("The buyer who was told or brought packs back.", "BUYER"),
        _ => return None,
    })
}

fn of_any(column: &str) -> Option<(&'static str, &'static str)> {
    Some(match column {
        "when" => (
            "When it happened: a day, or a day and a minute; now, where nothing is said.",
            "WHEN",
        ),
        "note" => ("A remark.", "TEXT"),
        "ref" => ("Your own mark for the lot.", "REF"),
        "code" => (
            "The lot's code, where castlot is not to give the next one.",
            "CODE",
        ),
        "bin" => ("The bin whose bed it is, or the bed's code or ref.", "BED"),
        "takes" => (
            "What goes in: a lot and an amount. May be given several times.",
            "LOT AMOUNT",
        ),
        "from" => (
            "What it is made of: a lot and an amount. May be given several times.",
            "LOT AMOUNT",
        ),
        "why" => ("Why.", "TEXT"),
        "lot" => ("The lot: its code or ref.", "LOT"),
        "packs" => (
            "Which packs, as in `run-7 #1-12`, `run-7 x31` or `run-7 all`.",
            "PACKS",
        ),
        "despite" => ("Why a lot that is held is used all the same.", "WHY"),
        "species" => ("The species of the worms.", "NAME"),
        "buyer" => ("The buyer.", "BUYER"),
        "market" => ("The market, where there are no names.", "MARKET"),
        _ => return None,
    })
}

fn of_delivery(column: &str) -> Option<(&'static str, &'static str)> {
    Some(match column {
        "name" => ("What it is called.", "NAME"),
        "supplier" => ("Who it came from.", "SUPPLIER"),
        "supplier_lot" => ("The supplier's own lot number.", "NUMBER"),
        "animal" => ("The animals behind a manure.", "ANIMAL"),
        "origin" => ("Where it grew or was made.", "PLACE"),
        "age_days" => ("How many days old it was.", "DAYS"),
        "heat_treated" => (
            "Whether it was heat treated: yes, no or \"not known\".",
            "ANSWER",
        ),
        "hay_from" => ("Where the hay behind a manure came from.", "PLACE"),
        "hay_sprayed" => (
            "What was said of weedkiller on it: \"said no\", \"said yes\" or \"not known\".",
            "ANSWER",
        ),
        "wormer" => ("The wormer the animals had.", "NAME"),
        "wormed_on" => ("When they had it.", "DATE"),
        "said_by" => ("Who said all that.", "NAME"),
        "said_on" => ("When it was said.", "DATE"),
        "kept_sample" => ("Where a sample of it is kept.", "PLACE"),
        "certificate" => ("The number of its certificate.", "NUMBER"),
        _ => return None,
    })
}

fn of_rack_and_shop(column: &str) -> (&'static str, &'static str) {
    match column {
        "place" => ("Where it stands: RACK/SHELF/PLACE.", "PLACE"),
        "length_mm" => ("Its inner length in millimetres.", "MM"),
        "width_mm" => ("Its inner width in millimetres.", "MM"),
        "depth_mm" => ("Its inner depth in millimetres.", "MM"),
        "material" => ("What it is made of.", "TEXT"),
        "feed_left" => (
            "How much of the last feed is left: none, some or lots.",
            "HOW MUCH",
        ),
        "squeeze" => ("What a handful gives: dry, drops or stream.", "WHAT"),
        "moisture" => ("Moisture in per cent.", "PER CENT"),
        "temperature_c" => ("Degrees Celsius in the bed.", "DEGREES"),
        "ph" => ("The pH of the bed.", "PH"),
        "cocoons" => ("The look, or the number, of the cocoons.", "LOOK"),
        "smell" => ("The smell: earth, sour, ammonia.", "SMELL"),
        "pests" => ("Mites, flies and the like.", "WHAT"),
        "share" => (
            "The share that is taken: `50%`, `1 of 3`, `0.5` or `1/3`.",
            "SHARE",
        ),
        "to_bin" => ("The bin that it is tipped into.", "BIN"),
        "clears" => ("The beds that end there, or `all` of the row's.", "BED"),
        "test" => (
            "Which test: density, per_kg, bean, moisture, or any other.",
            "TEST",
        ),
        "value" => ("What it gave.", "VALUE"),
        "unit" => ("In what unit.", "UNIT"),
        "method" => ("How it was done.", "TEXT"),
        "lab" => ("Who did it.", "NAME"),
        "result" => ("Pass, fail, or another finding.", "TEXT"),
        "product" => ("The product: a key of castlot.toml.", "PRODUCT"),
        "count" => ("How many packs.", "COUNT"),
        "best_by" => (
            "The best-by date, where it is not to be worked out.",
            "DATE",
        ),
        "run" => ("The pack run: its code or ref.", "RUN"),
        "values" => (
            "What packs hold, in weight, volume or pieces. May be given several times.",
            "AMOUNT",
        ),
        "tare" => (
            "What an empty pack weighs, where it was weighed along.",
            "AMOUNT",
        ),
        "contact" => ("How to reach the buyer.", "HOW"),
        "document" => ("The number of the invoice or delivery note.", "NUMBER"),
        "found" => ("How much is really there: an amount, or 0.", "AMOUNT"),
        "what" => (
            "A lot and an amount, packs, or a bin, whose bed ends there.",
            "WHAT",
        ),
        "sign" => ("What was seen.", "TEXT"),
        "pack" => ("The pack, as in `run-7 #12`, or its run.", "PACK"),
        "heard" => ("How it was heard of.", "TEXT"),
        "bought_at" => ("Where the pack was bought.", "PLACE"),
        "bought_about" => ("About when it was bought, as in 2026-05.", "WHEN"),
        "state" => ("What becomes of it.", "STATE"),
        "reason" => ("Why.", "TEXT"),
        "reach" => (
            "How far a hold reaches: `parts`, all that it is part of, or `all`.",
            "REACH",
        ),
        "recall" => ("The recall's name.", "NAME"),
        "step" => ("Which step: open, told, returned or close.", "STEP"),
        "lots" => ("The lots it is about. May be given several times.", "LOT"),
        "template" => ("The label's template.", "TEMPLATE"),
        "printer" => ("Which printer.", "PRINTER"),
        "printed" => ("How many came out.", "COUNT"),
        "spoiled" => ("How many of them were spoiled.", "COUNT"),
        "digest" => ("The digest of the file that was printed.", "DIGEST"),
        // A column that has no words here is caught by a test.
        _ => ("", "VALUE"),
    }
}
