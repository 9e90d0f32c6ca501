//! What kind of work a scribbled line means, told by its words.

use super::cutter::cut;
use super::gait;
use super::token::{Token, lower, phrase_at};
use crate::plan::Category;
use crate::plan::near::is_one_of;
use crate::plan::phrase::unit_of;

/// Words that are our categories, however they are spelt.
const EXPLICIT: [(Category, &str); 8] = [
    (
        Category::WarmUp,
        "warmingup, riscaldamento, einlaufen, inlopen, aufwärmen, échauffement, echauffement, calentamiento, aquecimento, opwarming, w up, warm up, warming up, warmup, w/u, wu, wup",
    ),
    (
        Category::CoolDown,
        "defaticamento, auslaufen, uitlopen, retour au calme, vuelta a la calma, cool down, cooling down, cooldown, warm down, warmdown, c/d, cd",
    ),
    (
        Category::Technical,
        "tecnica, technical, technique, tech, skills, technik",
    ),
    (Category::Strength, "strength, str"),
    (Category::Resistance, "resistance"),
    (Category::Speed, "speed, spd"),
    (Category::Game, "game, games, spiel"),
    (Category::Gym, "gym"),
];

/// Words that belong to one category only.
struct Words {
    category: Category,
    /// Things that are counted: `10 squats`, `5 sprints`.
    counted: &'static str,
    /// What is done, or with what: `passing`, `ladder`.
    others: &'static str,
}

impl Words {
    fn has(&self, word: &str) -> bool {
        is_one_of(word, self.counted) || is_one_of(word, self.others)
    }
}

const STRONG: [Words; 9] = [
    Words {
        category: Category::WarmUp,
        counted: "skips",
        others: "activation, butt, bum, knees, flicks, carioca, grapevine, 11+, abc, lauf-abc",
    },
    Words {
        category: Category::Speed,
        counted: "sprint, sprints, dash, dashes, flyers, accelerations, accel, accels, \
             scatti, scatto, burst, bursts, antritt, antritte",
        others: "piques, velocidad, sprinting, flying, fly, flys, flies, acceleration, acc, rsa, rst, velocity, max velocity, maximum \
             velocity",
    },
    Words {
        category: Category::Strength,
        counted: "shuttle, shuttles, zigzag, zigzags, doggies, suicides, gassers, navette, \
             cuts, shuffle, shuffles, suicide",
        others: "agility, ladder, ladders, cod, t-test, t-drill, t-run, l-run, l-drill, l-test, y-drill, y-run, m-drill, \
             m-run, w-drill, w-run, z-drill, three-cone, 3-cone, 3 cone, arrowhead, saq, 505, 5-0-5, cutting, illinois",
    },
    Words {
        category: Category::Resistance,
        counted: "interval, intervals, intervalle, ripetute",
        others: "fahrtspiel, norwegian, vo2, vo2max, tempo, endurance, stamina, conditioning, cond, fartlek, hiit, tabata, aerobic, \
             threshold, mas, vma, bleep, beep, yo-yo, yoyo, cooper, ift, 30-15, trial, tt, intermittent, ausdauerlauf, dauerlauf",
    },
    Words {
        category: Category::Technical,
        counted: "pass, passes, rondo, rondos, dribble, dribbles, shots, shot, juggles, \
             touches, crosses, volleys, headers, ballwork, penalties, kicks, keepy, \
             uppies, kick, kickups, save, saves, dive, dives, catches, throws, keepups, palleggi, \
             tiri, tirs, tiros, pases, jonglages, taps, pens",
        others: "shoot, finalização, conduite, torschuss, passspiel, afwerken, passing, dribbling, shooting, finishing, juggling, crossing, mastery, toro, \
             control, diving, handling, distribution, torello, tactics, tactical, \
             pieces, shape, corners, touch, heading, tackling, throw, juggle, keepie, keepies, \
             goalkeeper",
    },
    Words {
        category: Category::Gym,
        counted: "weights, squats, crunches, squat, lunges, lunge, pressups, pushups, \
             situps, sits, plank, planks, jumps, hops, bounds, plyos, burpees, bridges, \
             raises, curl, curls, deadlift, deadlifts, rdl, rdls, thrust, thrusts, \
             kettlebells, dumbbells, dips, chins, chinups, pullups, stepups, nordics, \
             copenhagens, cmj, cmjs, vups, press, push, sit, pull, chin, step, jump",
        others: "gainage, bridge, core, plyometrics, plyo, bodyweight, bench, kettlebell, dumbbell, \
             calf, abs, bike, cycling, spin, swim, swimming, pool, yoga, pilates, \
             treadmill, rower, rowing, row, elliptical, skipping, rope, nordic, \
             copenhagen, bounding, ice, massage, sauna",
    },
    Words {
        category: Category::Game,
        counted: "scrimmage, ssg, ssgs, kickabout, futsal, halves, quarters, possession",
        others: "jeu, jeux, jogo, partijtje, partij, tennis, partita, partitella, partido, partidillo, possesso, friendly, scrim, vs",
    },
    Words {
        category: Category::Gym,
        counted: "foam",
        others: "mobility",
    },
    Words {
        category: Category::Gym,
        counted: "stretch, stretches",
        others: "stretching, étirements, dehnen, estiramientos, alongamentos",
    },
];

/// Work of strength that takes three words.
const TURNS: &str = "change of direction";
/// Running, in French: `course` alone is a course.
const RUNNING: &str = "course à pied";

/// The words of one category that a word is among.
fn telling(word: &str) -> Option<&'static Words> {
    STRONG.iter().find(|words| words.has(word))
}

/// What a session of easy work begins with: `recovery run`, made one word where it is no rest.
pub(super) const RECOVERY: &str = "recovery ";

/// What the words of a line say.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Kind {
    /// One category; `explicit` where its own word was written.
    One {
        category: Category,
        explicit: bool,
    },
    /// It can be one of these.
    Several(Vec<Category>),
    /// `jog`, `run`, `laps`: which, depends on where it stands.
    Moving {
        jogging: bool,
    },
    Nothing,
}

impl Kind {
    /// Whether it is this category and no other.
    pub(super) fn is(&self, category: Category) -> bool {
        matches!(self, Self::One { category: own, .. } if *own == category)
    }
}

/// This category, told by words of its work.
pub(super) fn of(category: Category) -> Kind {
    Kind::One {
        category,
        explicit: false,
    }
}

/// How many tokens from `at` on are the word of a category, and which.
pub(super) fn explicit_at(tokens: &[Token], at: usize) -> Option<(usize, Category)> {
    EXPLICIT.iter().find_map(|(category, phrases)| {
        let mut words = phrases
            .split(", ")
            .filter_map(|words| phrase_at(tokens, at, words));
        Some((words.next()?, *category))
    })
}

/// Whether a word says what kind of work it is.
pub(super) fn is_known(word: &str) -> bool {
    telling(word).is_some() || moving(word)
}

/// Things that are counted: `3 x 10 squats`, `20 touches`, `5 sprints`.
pub(super) fn is_counted(word: &str) -> bool {
    STRONG.iter().any(|words| is_one_of(word, words.counted))
        || is_one_of(word, "runs, run, efforts, strides, jumps, hops, balls")
}

fn moving(word: &str) -> bool {
    is_one_of(
        word,
        "run, runs, running, lap, laps, strides, allunghi, corsa, corsetta, \
             box-to-box, lauf, läufe, laufen, steigerungslauf, steigerungsläufe, steigerungen, carrera, \
             carreras, rodaje, progresivos, footing, foulées, corrida, steady",
    ) || gait::is_gait(word)
}

/// `4v4`, `5-a-side`
pub(super) fn is_sides(word: &str) -> bool {
    word.starts_with(|c: char| c.is_ascii_digit())
        && (word.ends_with("-a-side")
            || word.contains('v')
                && word
                    .split(['v', ' ', '+'])
                    .all(|part| part.parse::<u32>().is_ok() || part.is_empty()))
}

/// The category that several words tell together: `change of direction`, `Y drill`, `45 min half`.
fn told_by_several(words: &[Token], at: usize) -> Option<Category> {
    let (word, next) = (lower(words, at), lower(words, at + 1));
    let shaped = is_one_of(&word, "t, l, y, w, z") && is_one_of(&next, "drill, test");
    if shaped || phrase_at(words, at, TURNS).is_some() {
        return Some(Category::Strength);
    }
    let timed = at > 0 && unit_of(&lower(words, at - 1)) == Some("min");
    (word == "half" && timed && next.is_empty()).then_some(Category::Game)
}

/// What kind of work these words mean.
pub(super) fn kind_of(tokens: &[Token]) -> Kind {
    let mut explicit = Vec::new();
    let mut strong = Vec::new();
    let (mut sides, mut moves, mut jogging, mut stretches) = (false, false, false, false);
    let note = |list: &mut Vec<Category>, category| {
        if !list.contains(&category) {
            list.push(category);
        }
    };
    let words: Vec<Token> = tokens
        .iter()
        .flat_map(|token| match token {
            Token::Name(name) => name.split_whitespace().map(Token::word).collect(),
            other => vec![other.clone()],
        })
        .collect();
    for (at, token) in words.iter().enumerate() {
        let mut word = token.lower();
        // `T-test`, `yo-yo`
        if matches!(token, Token::Word { joined: true, .. }) && at > 0 {
            let whole = format!("{}-{word}", lower(&words, at - 1));
            if telling(&whole).is_some() {
                word = whole;
            }
        }
        if let Some(category) = told_by_several(&words, at) {
            note(&mut strong, category);
        }
        if let Some((_, category)) = explicit_at(&words, at) {
            note(&mut explicit, category);
        }
        // `press-ups` and `bench press`, but no `high press`; `row 500 m`, but not `4 in a row`.
        let next = lower(&words, at + 1);
        let before = at
            .checked_sub(1)
            .map_or_else(String::new, |at| lower(&words, at));
        let ups = match word.as_str() {
            "press" | "push" | "sit" | "pull" | "chin" | "step" => {
                let starts = lower(&words, at + 2).starts_with("start");
                !(next.starts_with("up") && !starts
                    || word == "press" && before == "bench"
                    || word == "sit" && before == "wall")
            }
            "row" => matches!(before.as_str(), "a" | "each" | "per" | "back"),
            "bench" => !matches!(next.as_str(), "press" | "reps" | ""),
            "pool" => next == "of",
            "kicks" => matches!(before.as_str(), "butt" | "bum"),
            "pieces" => before != "set",
            "touch" => before != "first",
            // `trial match` is a game.
            "trial" => before != "time",
            _ => false,
        };
        // `change of direction sprints` are what the turns make them.
        let turned = at.checked_sub(3).is_some_and(|at| {
            phrase_at(&words, at, TURNS).is_some() && is_one_of(&word, "sprint, sprints")
        });
        if let Some(own) = telling(&word)
            && !ups
            && !turned
        {
            if own.has("stretch") {
                stretches = true;
            } else {
                note(&mut strong, own.category);
            }
        }
        sides |= is_sides(&word)
            || word == "a" && words.get(at + 1).is_some_and(|next| next.lower() == "side");
        // `walk back`, `rest walk`: a rest, and no work.
        let rests = ["back", "recovery", "rest"];
        // `runs x 6, rest walk back`: what is rested from is work.
        let works = !gait::is_gait(&word) && matches!(next.as_str(), "recovery" | "rest");
        if rests.contains(&next.as_str()) && !works || rests.contains(&before.as_str()) {
            continue;
        }
        moves |= moving(&word) || phrase_at(&words, at, RUNNING).is_some();
        jogging |= gait::is_gait(&word) || matches!(word.as_str(), "lap" | "laps");
    }
    let recovers = (words.iter()).any(|token| token.lower().starts_with(RECOVERY));
    match (explicit.as_slice(), strong.as_slice()) {
        ([one], _) => Kind::One {
            category: *one,
            explicit: true,
        },
        ([], [one]) => Kind::One {
            category: *one,
            explicit: false,
        },
        ([], []) if recovers => Kind::Several(vec![Category::Resistance, Category::CoolDown]),
        ([], []) if sides => Kind::One {
            category: Category::Game,
            explicit: false,
        },
        ([], []) if moves => Kind::Moving { jogging },
        ([], []) if stretches => Kind::One {
            category: Category::Gym,
            explicit: false,
        },
        ([], []) => Kind::Nothing,
        ([], several) | (several, _) => Kind::Several(several.to_vec()),
    }
}

/// Whether it is run through at speed: `flying 20s`, `fly 10 x 6`.
pub(super) fn is_flying(word: &str) -> bool {
    is_one_of(word, "flying, fly, flys, flies")
}

/// Whether it is held still, for which nobody counts reps: `plank 60`.
pub(super) fn holds(words: &[Token]) -> bool {
    const HELD: &str = "plank, planks, hold, holds, isometric, isometrics, iso";
    let sits = (0..words.len()).any(|at| phrase_at(words, at, "wall sit").is_some());
    sits || words.iter().any(|token| is_one_of(&token.lower(), HELD))
}

/// The kind of work that the words of a line tell; nothing where it cannot be cut.
fn told(content: &str) -> Kind {
    cut(content).map_or(Kind::Nothing, |(pieces, _)| kind_of(&pieces.concat()))
}

/// Whether a line is of another kind than this by its own words: a jog or a run is what the line above says.
pub(super) fn is_of_another_kind(content: &str, category: Category) -> bool {
    match told(content) {
        Kind::One {
            category: own,
            explicit,
        } => explicit || own != category,
        Kind::Several(_) => true,
        Kind::Moving { .. } | Kind::Nothing => false,
    }
}

/// Whether a line says by itself what kind of work it is; a jog or a run is what the line above says.
pub(in crate::plan) fn says_a_kind(content: &str) -> bool {
    matches!(told(content), Kind::One { .. } | Kind::Several(_))
}

/// Whether a line says that one moves, and no more of what kind it is: `jog`, `run`.
pub(in crate::plan) fn moves(content: &str) -> bool {
    matches!(told(content), Kind::Moving { .. })
}
