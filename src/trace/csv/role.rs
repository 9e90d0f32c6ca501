//! What a column can hold, and the names that say so.

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Role {
    Time,
    Date,
    Latitude,
    Longitude,
    X,
    Y,
    Speed,
    Course,
    Elevation,
    HeartRate,
    Cadence,
    Hdop,
    Satellites,
    /// `N` or `S`, in a column of its own.
    LatitudeSide,
    /// `E` or `W`.
    LongitudeSide,
}

impl Role {
    /// Whether it is a position or a speed, of which one is needed.
    pub(super) fn is_motion(self) -> bool {
        matches!(
            self,
            Self::Latitude | Self::Longitude | Self::X | Self::Y | Self::Speed
        )
    }
}

/// The word that is a time in some languages and a speed in others.
pub(super) const TEMPO: &str = "tempo";

/// How many roles there are.
pub(super) const ROLES: usize = 15;

/// All roles, in the order of their declaration.
pub(super) const ALL: [Role; ROLES] = [
    Role::Time,
    Role::Date,
    Role::Latitude,
    Role::Longitude,
    Role::X,
    Role::Y,
    Role::Speed,
    Role::Course,
    Role::Elevation,
    Role::HeartRate,
    Role::Cadence,
    Role::Hdop,
    Role::Satellites,
    Role::LatitudeSide,
    Role::LongitudeSide,
];

/// The names of each role in normal form, with its rank among columns of that role: a full date and time goes before a clock, and a
/// clock before the seconds elapsed.
const NAMES: &[(Role, u8, &str)] = &[
    (
        Role::Time,
        3,
        "timestamp | time stamp | datetime | date time | utc | utc time | time utc | gps time | date and time | \
            iso time | epoch | epoch time | unix | unix time | posix time | unix timestamp | utc timestamp | \
            utc datetime | utc date time | local datetime | gps timestamp | zeitstempel | horodatage | tijdstip | \
            ddmmyy hhmmss | ddmmyyhhmmss | ddmmyyyyhhmmss | yymmddhhmmss | yyyymmddhhmmss",
    ),
    (
        Role::Time,
        2,
        "time | t | clock | local time | time of day | ts | clock time | zeit | uhrzeit | heure | temps | hora | \
            tiempo | ora | tijd | hhmmss | hhmmss ss | hhmmss sss",
    ),
    (
        Role::Time,
        1,
        "elapsed | elapsed time | time elapsed | elapsed seconds | seconds elapsed | since start | time since start | \
            seconds | secs | sec | duration | milliseconds | session time | relative time | running time",
    ),
    // A time in Italian and Portuguese, a speed in German and Dutch: only where nothing else is the time.
    (Role::Time, 0, "tempo"),
    (
        Role::Date,
        0,
        "ddmmyy | date | day | utc date | local date | date utc | datum | fecha | data",
    ),
    (
        Role::Latitude,
        0,
        "lat | latitude | gps lat | gps latitude | position lat | lat deg | breite | breitengrad | latitud | \
            latitudine | breedtegraad | breedte",
    ),
    (
        Role::Longitude,
        0,
        "lon | long | lng | longitude | gps lon | gps long | gps longitude | position lon | position long | länge | \
            längengrad | longitud | longitudine | lengtegraad | lengte",
    ),
    (
        Role::X,
        0,
        "x | x pos | pos x | x position | position x | xpos | posx | easting | east | e",
    ),
    (
        Role::Y,
        0,
        "y | y pos | pos y | y position | position y | ypos | posy | northing | north | n",
    ),
    (
        Role::LatitudeSide,
        0,
        "n/s | ns | lat hemisphere | latitude hemisphere | lat ref | latitude ref | lat dir | latitude direction | \
            ns indicator | n/s indicator | n/z",
    ),
    (
        Role::LongitudeSide,
        0,
        "e/w | ew | lon hemisphere | longitude hemisphere | lon ref | longitude ref | lon dir | longitude direction | \
            ew indicator | e/w indicator | o/w | e/o | l/o",
    ),
    (
        Role::Speed,
        0,
        "speed | velocity | ground speed | gps speed | speed over ground | sog | v | vel | spd | groundspeed | \
            doppler speed | gps geschwindigkeit | geschwindigkeit | geschw | laufgeschwindigkeit | \
            momentangeschwindigkeit | vitesse | vit | vitesse gps | vitesse instantanée | vitesse sol | velocidad | \
            velocidad gps | velocidad instantánea | rapidez | velocidade | velocidade gps | velocidade instantânea | \
            velocità | velocita | velocità gps | velocità istantanea | snelheid | gps snelheid | momentane snelheid",
    ),
    (
        Role::Course,
        0,
        "course | heading | bearing | cog | course over ground | direction | track | kurs",
    ),
    (
        Role::Elevation,
        0,
        "ele | elev | elevation | alt | altitude | height | höhe | altitud | elevación | altitudine | quota | \
            elevação | hoogte",
    ),
    (
        Role::HeartRate,
        0,
        "heart rate | heartrate | hr | bpm | pulse | heart rate bpm | herzfrequenz | puls | fréquence cardiaque | \
            frequence cardiaque | frecuencia cardíaca | frecuencia cardiaca | frequência cardíaca | frequencia cardiaca | \
            frequenza cardiaca | hartslag",
    ),
    (Role::Cadence, 0, "cadence | cad | step rate | rpm | spm"),
    (
        Role::Hdop,
        0,
        "hdop | horizontal dilution | horizontal dilution of precision",
    ),
    (
        Role::Satellites,
        0,
        "sat | sats | satellites | satellites used | satellite count | num sat | num sats | num satellites | \
            number of satellites | no of satellites | nsat | nsats | num sv | numsv | satelliten",
    ),
];

/// The role of a name, with its rank.
pub(super) fn role(name: &str) -> Option<(Role, u8)> {
    let named = |names: &str| names.split(" | ").any(|one| one == name);
    let (role, rank, _) = NAMES.iter().find(|(.., names)| named(names))?;
    Some((*role, *rank))
}
