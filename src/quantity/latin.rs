//! Letters of other scripts, as they are written with the 26 plain ones.
//!
//! In: a small letter. Out: how it is spelt in a name of the records; nothing for what is no letter
//! here. It is for short names that a keeper may change, and no rule of a language: vowels that a
//! script does not write stay out.

/// Cyrillic, Greek, Hebrew and Arabic letters.
#[rustfmt::skip]
pub(super) fn of_other_script(c: char) -> &'static str {
    match c {
        'а' | 'α' | 'ά' | 'א' | 'ا' | 'أ' | 'إ' | 'آ' | 'ى' | 'ع' | 'ע' => "a",
        'б' | 'ב' | 'ب' | 'پ' => "b",
        'в' | 'β' => "v",
        'г' | 'ґ' | 'γ' | 'ג' | 'گ' => "g",
        'д' | 'δ' | 'ד' | 'د' | 'ض' => "d",
        'е' | 'э' | 'ё' | 'ε' | 'έ' => "e",
        'є' => "ye",
        'ж' => "zh",
        'з' | 'ζ' | 'ז' | 'ز' | 'ظ' => "z",
        'и' | 'і' | 'ι' | 'ί' | 'ϊ' | 'η' | 'ή' => "i",
        'ї' => "yi",
        'й' | 'ы' | 'י' | 'ي' | 'ی' | 'υ' | 'ύ' => "y",
        'к' | 'κ' | 'כ' | 'ך' | 'ק' | 'ك' | 'ک' | 'ق' => "k",
        'л' | 'λ' | 'ל' | 'ل' => "l",
        'м' | 'μ' | 'מ' | 'ם' | 'م' => "m",
        'н' | 'ν' | 'נ' | 'ן' | 'ن' => "n",
        'о' | 'ο' | 'ό' | 'ω' | 'ώ' => "o",
        'п' | 'π' | 'פ' | 'ף' => "p",
        'р' | 'ρ' | 'ר' | 'ر' => "r",
        'с' | 'σ' | 'ς' | 'ס' | 'س' | 'ص' => "s",
        'т' | 'τ' | 'ט' | 'ת' | 'ت' | 'ط' | 'ة' => "t",
        'у' => "u",
        'ф' | 'φ' | 'ف' => "f",
        'х' | 'ח' | 'ה' | 'ه' | 'ح' => "h",
        'خ' => "kh",
        'غ' => "gh",
        'ц' | 'צ' | 'ץ' => "ts",
        'ч' | 'χ' | 'چ' => "ch",
        'ш' | 'ש' | 'ش' => "sh",
        'щ' => "shch",
        'ю' => "yu",
        'я' => "ya",
        'θ' | 'ث' | 'ذ' => "th",
        'ξ' => "x",
        'ψ' => "ps",
        'ו' | 'و' => "w",
        'ج' => "j",
        _ => "",
    }
}
