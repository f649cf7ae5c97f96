//! The letters that older one-byte encodings have for the bytes above ASCII, as the Encoding Standard of the WHATWG
//! gives them (the tests of `letters` hold them against a library that carries its tables). In goes nothing, out come
//! the tables; reading with them is left to `letters`.

/// An encoding of one byte a letter.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct OneByte {
    /// Its name in the Encoding Standard.
    pub(crate) name: &'static str,
    /// Other names that it goes by, folded as [`of_name`] folds them.
    labels: &'static [&'static str],
    /// The letters of the bytes 0x80 to 0xFF; U+FFFD where a byte has none.
    pub(crate) letters: &'static str,
}

/// The encoding of a name; capitals, spaces, hyphens and low lines do not matter.
pub(crate) fn of_name(name: &str) -> Option<&'static OneByte> {
    let folded: String = name
        .chars()
        .filter(|letter| !matches!(letter, ' ' | '-' | '_'))
        .flat_map(char::to_lowercase)
        .collect();
    ENCODINGS
        .iter()
        .find(|encoding| encoding.labels.contains(&folded.as_str()))
}

/// All encodings that can be named. Latin-1 is read as Windows-1252, which holds it, as the Encoding Standard has it.
#[rustfmt::skip]
pub(crate) const ENCODINGS: &[OneByte] = &[
    OneByte {
        name: "windows-1250",
        labels: &["windows1250", "cp1250", "win1250"],
        letters: concat!(
            "€\u{81}‚\u{83}„…†‡\u{88}‰Š‹ŚŤŽŹ\u{90}‘’“”•–—\u{98}™š›śťžź",
            "\u{a0}ˇ˘Ł¤Ą¦§¨©Ş«¬\u{ad}®Ż°±˛ł´µ¶·¸ąş»Ľ˝ľż",
            "ŔÁÂĂÄĹĆÇČÉĘËĚÍÎĎĐŃŇÓÔŐÖ×ŘŮÚŰÜÝŢß",
            "ŕáâăäĺćçčéęëěíîďđńňóôőö÷řůúűüýţ˙",
        ),
    },
    OneByte {
        name: "windows-1251",
        labels: &["windows1251", "cp1251", "win1251"],
        letters: concat!(
            "ЂЃ‚ѓ„…†‡€‰Љ‹ЊЌЋЏђ‘’“”•–—\u{98}™љ›њќћџ",
            "\u{a0}ЎўЈ¤Ґ¦§Ё©Є«¬\u{ad}®Ї°±Ііґµ¶·ё№є»јЅѕї",
            "АБВГДЕЖЗИЙКЛМНОПРСТУФХЦЧШЩЪЫЬЭЮЯ",
            "абвгдежзийклмнопрстуфхцчшщъыьэюя",
        ),
    },
    OneByte {
        name: "windows-1252",
        labels: &["windows1252", "cp1252", "win1252", "iso88591", "latin1"],
        letters: concat!(
            "€\u{81}‚ƒ„…†‡ˆ‰Š‹Œ\u{8d}Ž\u{8f}\u{90}‘’“”•–—˜™š›œ\u{9d}žŸ",
            "\u{a0}¡¢£¤¥¦§¨©ª«¬\u{ad}®¯°±²³´µ¶·¸¹º»¼½¾¿",
            "ÀÁÂÃÄÅÆÇÈÉÊËÌÍÎÏÐÑÒÓÔÕÖ×ØÙÚÛÜÝÞß",
            "àáâãäåæçèéêëìíîïðñòóôõö÷øùúûüýþÿ",
        ),
    },
    OneByte {
        name: "windows-1253",
        labels: &["windows1253", "cp1253", "win1253"],
        letters: concat!(
            "€\u{81}‚ƒ„…†‡\u{88}‰\u{8a}‹\u{8c}\u{8d}\u{8e}\u{8f}\u{90}‘’“”•–—\u{98}™\u{9a}›\u{9c}\u{9d}\u{9e}\u{9f}",
            "\u{a0}΅Ά£¤¥¦§¨©\u{fffd}«¬\u{ad}®―°±²³΄µ¶·ΈΉΊ»Ό½ΎΏ",
            "ΐΑΒΓΔΕΖΗΘΙΚΛΜΝΞΟΠΡ\u{fffd}ΣΤΥΦΧΨΩΪΫάέήί",
            "ΰαβγδεζηθικλμνξοπρςστυφχψωϊϋόύώ\u{fffd}",
        ),
    },
    OneByte {
        name: "windows-1254",
        labels: &["windows1254", "cp1254", "win1254", "iso88599", "latin5"],
        letters: concat!(
            "€\u{81}‚ƒ„…†‡ˆ‰Š‹Œ\u{8d}\u{8e}\u{8f}\u{90}‘’“”•–—˜™š›œ\u{9d}\u{9e}Ÿ",
            "\u{a0}¡¢£¤¥¦§¨©ª«¬\u{ad}®¯°±²³´µ¶·¸¹º»¼½¾¿",
            "ÀÁÂÃÄÅÆÇÈÉÊËÌÍÎÏĞÑÒÓÔÕÖ×ØÙÚÛÜİŞß",
            "àáâãäåæçèéêëìíîïğñòóôõö÷øùúûüışÿ",
        ),
    },
    OneByte {
        name: "windows-1257",
        labels: &["windows1257", "cp1257", "win1257"],
        letters: concat!(
            "€\u{81}‚\u{83}„…†‡\u{88}‰\u{8a}‹\u{8c}¨ˇ¸\u{90}‘’“”•–—\u{98}™\u{9a}›\u{9c}¯˛\u{9f}",
            "\u{a0}\u{fffd}¢£¤\u{fffd}¦§Ø©Ŗ«¬\u{ad}®Æ°±²³´µ¶·ø¹ŗ»¼½¾æ",
            "ĄĮĀĆÄÅĘĒČÉŹĖĢĶĪĻŠŃŅÓŌÕÖ×ŲŁŚŪÜŻŽß",
            "ąįāćäåęēčéźėģķīļšńņóōõö÷ųłśūüżž˙",
        ),
    },
    OneByte {
        name: "iso-8859-2",
        labels: &["iso88592", "latin2"],
        letters: concat!(
            "\u{80}\u{81}\u{82}\u{83}\u{84}\u{85}\u{86}\u{87}\u{88}\u{89}\u{8a}\u{8b}\u{8c}\u{8d}\u{8e}\u{8f}\u{90}\u{91}\u{92}\u{93}\u{94}\u{95}\u{96}\u{97}\u{98}\u{99}\u{9a}\u{9b}\u{9c}\u{9d}\u{9e}\u{9f}",
            "\u{a0}Ą˘Ł¤ĽŚ§¨ŠŞŤŹ\u{ad}ŽŻ°ą˛ł´ľśˇ¸šşťź˝žż",
            "ŔÁÂĂÄĹĆÇČÉĘËĚÍÎĎĐŃŇÓÔŐÖ×ŘŮÚŰÜÝŢß",
            "ŕáâăäĺćçčéęëěíîďđńňóôőö÷řůúűüýţ˙",
        ),
    },
    OneByte {
        name: "iso-8859-13",
        labels: &["iso885913", "latin7"],
        letters: concat!(
            "\u{80}\u{81}\u{82}\u{83}\u{84}\u{85}\u{86}\u{87}\u{88}\u{89}\u{8a}\u{8b}\u{8c}\u{8d}\u{8e}\u{8f}\u{90}\u{91}\u{92}\u{93}\u{94}\u{95}\u{96}\u{97}\u{98}\u{99}\u{9a}\u{9b}\u{9c}\u{9d}\u{9e}\u{9f}",
            "\u{a0}”¢£¤„¦§Ø©Ŗ«¬\u{ad}®Æ°±²³“µ¶·ø¹ŗ»¼½¾æ",
            "ĄĮĀĆÄÅĘĒČÉŹĖĢĶĪĻŠŃŅÓŌÕÖ×ŲŁŚŪÜŻŽß",
            "ąįāćäåęēčéźėģķīļšńņóōõö÷ųłśūüżž’",
        ),
    },
    OneByte {
        name: "iso-8859-15",
        labels: &["iso885915", "latin9"],
        letters: concat!(
            "\u{80}\u{81}\u{82}\u{83}\u{84}\u{85}\u{86}\u{87}\u{88}\u{89}\u{8a}\u{8b}\u{8c}\u{8d}\u{8e}\u{8f}\u{90}\u{91}\u{92}\u{93}\u{94}\u{95}\u{96}\u{97}\u{98}\u{99}\u{9a}\u{9b}\u{9c}\u{9d}\u{9e}\u{9f}",
            "\u{a0}¡¢£€¥Š§š©ª«¬\u{ad}®¯°±²³Žµ¶·ž¹º»ŒœŸ¿",
            "ÀÁÂÃÄÅÆÇÈÉÊËÌÍÎÏÐÑÒÓÔÕÖ×ØÙÚÛÜÝÞß",
            "àáâãäåæçèéêëìíîïðñòóôõö÷øùúûüýþÿ",
        ),
    },
];
