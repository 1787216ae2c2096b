//! Sealing and opening, against the published examples of every part, and against ten thousand
//! codes and texts that must not open.

use super::super::test_help::{Repeatable, from_seed, hex};
use super::*;
use proptest::prelude::*;
use sha2::Sha256;
use std::error::Error;

/// Any number of rounds, for tests that would take hours at the real one.
const ANY: RangeInclusive<u32> = 1..=2_000_000;

fn code(seed: u64) -> AccessCode {
    AccessCode::generate(&mut from_seed(seed)).unwrap()
}

/// Sealed with two rounds only.
fn sealed(plain: &[u8], seed: u64) -> String {
    seal_with(plain, code(seed).password(), 2, &mut from_seed(seed + 1)).unwrap()
}

/// A text with another header, otherwise whole.
fn with_header(jwe: &str, json: &str) -> String {
    format!("{}.{}", encode(json), jwe.split_once('.').unwrap().1)
}

fn derived<D: EagerHash>(password: &[u8], salt: &[u8], rounds: u32, length: usize) -> Vec<u8>
where
    D::Core: Sync,
{
    let mut key = vec![0; length];
    derive::<D>(password, salt, rounds, &mut key);
    key
}

fn key_of(text: &str) -> Key {
    Zeroizing::new(hex(text).try_into().unwrap())
}

#[test]
fn pbkdf2_with_sha_256_gives_the_published_keys() {
    // RFC 7914 section 11.
    let first = "55ac046e56e3089fec1691c22544b605f94185216dde0465e68b9d57c20dacbc \
                 49ca9cccf179b645991664b39d77ef317c71b845b1e30bd509112041d3a19783";
    assert_eq!(derived::<Sha256>(b"passwd", b"salt", 1, 64), hex(first));
    let second = "4ddcd8f60b98be21830cee5ef22701f9641a4418d04c0414aeff08876b34ab56 \
                  a1d425a1225833549adb841b51c9b3176a272bdebba1d078478f62b397f33c8d";
    assert_eq!(
        derived::<Sha256>(b"Password", b"NaCl", 80_000, 64),
        hex(second)
    );
}

#[test]
fn pbkdf2_with_sha_512_gives_the_keys_that_python_gives() {
    // Recomputed with hashlib.pbkdf2_hmac of python 3.11 (OpenSSL); the longest spans two blocks of
    // SHA-512.
    let one = "867f70cf1ade02cff3752599a3a53dc4af34c7a669815ae5d513554e1c8cf252c02d470a285a0501bad999bfe943c08f050235d7d68b1da55e63f73b60a57fce";
    let many = "d197b1b33db0143e018b12f3d1d1479e6cdebdcc97c5c0f87f6902e072f457b5143f30602641b3d55cd335988cb36b84376060ecd532e039b742a239434af2d5";
    let long = "0e28f3efa802a2f0cd3b4ace5e3d9afadb7c2dccc5ef10eedb8a6564dfb0c9a63b6f46b1e150587b9
        fe7875cfaf999d00b454bb7d74295c60df1bbe5f8f36da188271db2
        2110efda5cc9eeafb0ab29697849379903421d54eee3949344c72873d6ce9742";
    assert_eq!(derived::<Sha512>(b"password", b"salt", 1, 64), hex(one));
    assert_eq!(derived::<Sha512>(b"password", b"salt", 4096, 64), hex(many));
    assert_eq!(
        derived::<Sha512>(
            b"passwordPASSWORDpassword",
            b"saltSALTsaltSALTsaltSALTsaltSALTsalt",
            1000,
            100
        ),
        hex(long)
    );
}

#[test]
fn the_salt_is_composed_as_rfc_7517_appendix_c_shows() {
    let salt = decode("2WCTcJZ1Rvd_CJuJripQ1w").unwrap();
    let composed = salt_input("PBES2-HS256+A128KW", &salt);
    // RFC 7517 appendix C.4 prints the bytes of the composed salt and of the key derived with it.
    let printed = [
        80, 66, 69, 83, 50, 45, 72, 83, 50, 53, 54, 43, 65, 49, 50, 56, 75, 87, 0, 217, 96, 147,
        112, 150, 117, 70, 247, 127, 8, 155, 137, 174, 42, 80, 215,
    ];
    assert_eq!(composed, printed);
    let key = derived::<Sha256>(
        b"Thus from my lips, by yours, my sin is purged.",
        &composed,
        4096,
        16,
    );
    assert_eq!(
        key,
        [
            110, 171, 169, 92, 129, 92, 109, 117, 233, 242, 116, 233, 170, 14, 24, 75
        ]
    );
}

#[test]
fn a_key_is_wrapped_with_a_password_as_in_rfc_7520() {
    // RFC 7520 section 5.3: the same algorithm, PBES2-HS512+A256KW, in front of another content
    // encryption.
    let salt = salt_input(ALGORITHM, &decode("8Q1SzinasR3xchYz6ZZcHA").unwrap());
    let mut password_key = Key::default();
    derive::<Sha512>(
        "entrap_o–peter_long–credit_tun".as_bytes(),
        &salt,
        8192,
        &mut password_key[..],
    );
    let content_key: Key =
        Zeroizing::new(decode_exactly("uwsjJXaBK407Qaf0_zpcpmr1Cs0CC50hIUEyGNEt3m0").unwrap());
    let wrapped = wrap(&password_key, &content_key);
    assert_eq!(
        encode(wrapped),
        "d3qNhUWfqheyPp4H8sjOWsDYajoej4c5Je6rlUtFPWdgtURtmeDV1g"
    );
    assert_eq!(unwrap(&password_key, &wrapped), Some(content_key));
}

#[test]
fn a_key_of_256_bits_is_wrapped_as_in_rfc_3394() {
    // RFC 3394 section 4.6.
    let with = key_of("000102030405060708090A0B0C0D0E0F101112131415161718191A1B1C1D1E1F");
    let key = key_of("00112233445566778899AABBCCDDEEFF000102030405060708090A0B0C0D0E0F");
    let wrapped = wrap(&with, &key);
    assert_eq!(
        wrapped.to_vec(),
        hex("28C9F404C4B810F4 CBCCB35CFB87F826 3F5786E2D80ED326 CBC7F0E71A99F43B FB988B9B7A02DD21")
    );
    assert_eq!(unwrap(&with, &wrapped), Some(key.clone()));
    assert_eq!(unwrap(&key, &wrapped), None);
}

#[test]
fn aes_256_gcm_gives_the_published_texts_and_tags() {
    // McGrew and Viega, "The Galois/Counter Mode of Operation (GCM)", appendix B, test cases 13 to
    // 16.
    let zeros = "00".repeat(32);
    let key = "feffe9928665731c6d6a8f9467308308feffe9928665731c6d6a8f9467308308";
    let plain = "d9313225f88406e5a55909c5aff5269a86a7a9531534f7da2e4c303d8a318a721c3c0c95956809532fcf0e2449a6b525b16aedf5aa0de657ba637b391aafd255";
    let text = "522dc1f099567d07f47f37a32a84427d643a8cdcbfe5c0c97598a2bd2555d1aa8cb08e48590dbb3da7b08b1056828838c5f61e6393ba7a0abcc9f662898015ad";
    let nonce = "cafebabefacedbaddecaf888";
    let header = "feedfacedeadbeeffeedfacedeadbeefabaddad2";
    let cases = [
        (
            &*zeros,
            "000000000000000000000000",
            "",
            "",
            "",
            "530f8afbc74536b9a963b4f1c4cb738b",
        ),
        (
            &*zeros,
            "000000000000000000000000",
            "",
            &zeros[..32],
            "cea7403d4d606b6e074ec5d3baf39d18",
            "d0d1c8a799996bf0265b98b5d48ab919",
        ),
        (
            key,
            nonce,
            "",
            plain,
            text,
            "b094dac5d93471bdec1a502270e3cc6c",
        ),
        (
            key,
            nonce,
            header,
            &plain[..120],
            &text[..120],
            "76fc6ece0f4e1768cddf8853bb2d551b",
        ),
    ];
    for (key, nonce, header, plain, text, tag) in cases {
        let (key, nonce, header) = (key_of(key), hex(nonce).try_into().unwrap(), hex(header));
        let mut content = hex(plain);
        let made = encrypt(&key, &nonce, &header, &mut content).unwrap();
        assert_eq!((content.clone(), made.to_vec()), (hex(text), hex(tag)));
        decrypt(&key, &nonce, &header, &mut content, &made).unwrap();
        assert_eq!(content, hex(plain));
        let mut wrong = made;
        wrong[15] ^= 1;
        assert_eq!(decrypt(&key, &nonce, &header, &mut hex(text), &wrong), None);
    }
}

#[test]
fn at_the_real_number_of_rounds_what_is_sealed_opens_with_its_code_only() {
    let jwe = seal(b"{\"name\":\"Fern\"}", &code(1), &mut from_seed(2)).unwrap();
    let header = String::from_utf8(decode(jwe.split('.').next().unwrap()).unwrap()).unwrap();
    assert!(
        header.starts_with(
            r#"{"alg":"PBES2-HS512+A256KW","enc":"A256GCM","zip":"DEF","p2c":600000,"p2s":""#
        ),
        "{header}"
    );
    assert_eq!(
        read_header(&jwe).map(|header| (header.rounds, header.salt.len())),
        Some((ROUNDS, 16))
    );
    assert!(may_stay(&jwe, b"{\"name\":\"Fern\"}", &code(1)));
    assert!(!may_stay(&jwe, b"{\"name\":\"Reed\"}", &code(1)));
    assert_eq!(open(&jwe, &code(3)), Err(Unopened));
}

#[test]
fn what_is_sealed_with_too_few_or_too_many_rounds_is_not_tried() {
    // Two rounds would open at once, and four thousand million would run for an hour: neither is
    // begun.
    assert_eq!(open(&sealed(b"Fern", 1), &code(1)), Err(Unopened));
    let jwe = seal_with(b"Fern", code(1).password(), 1_000, &mut from_seed(2)).unwrap();
    assert_eq!(open(&jwe, &code(1)), Ok(b"Fern".to_vec()));
    for rounds in [0, 1, 999, 2_000_001, u32::MAX] {
        let json = String::from_utf8(decode(jwe.split('.').next().unwrap()).unwrap()).unwrap();
        let other = with_header(&jwe, &json.replace("1000", &rounds.to_string()));
        assert_eq!(read_header(&other).unwrap().rounds, rounds);
        assert_eq!(open(&other, &code(1)), Err(Unopened));
    }
    // Fewer rounds than today's open, but are sealed anew.
    assert!(!may_stay(&jwe, b"Fern", &code(1)));
}

#[test]
fn two_seals_of_one_content_share_neither_key_salt_nor_nonce() {
    let mut random = from_seed(1);
    let one = seal_with(b"Fern", code(1).password(), 2, &mut random).unwrap();
    let two = seal_with(b"Fern", code(1).password(), 2, &mut random).unwrap();
    assert!(
        one.split('.')
            .zip(two.split('.'))
            .all(|(one, two)| one != two)
    );
    assert_eq!(
        sealed(b"Fern", 1),
        sealed(b"Fern", 1),
        "the same random bytes make the same text"
    );
}

#[test]
fn without_random_bytes_nothing_is_sealed() {
    for fails_at in 0..3 {
        let mut asked = 0;
        let made = seal_with(b"Fern", code(1).password(), 2, &mut |bytes: &mut [u8]| {
            asked += 1;
            bytes.fill(7);
            if asked > fails_at {
                Err(NoRandomness("it is closed".into()))
            } else {
                Ok(())
            }
        });
        assert_eq!(
            made.unwrap_err().to_string(),
            "could not get random bytes from the operating system: it is closed"
        );
    }
}

#[test]
fn nothing_and_three_megabytes_come_back_as_they_were() {
    let pictures = Repeatable(1).bytes(3_000_000);
    let dull = vec![b'w'; 3_000_000];
    for plain in [&b""[..], &pictures, &dull] {
        let jwe = sealed(plain, 1);
        assert!(open_within(&jwe, code(1).password(), &ANY).is_some_and(|opened| opened == plain));
        assert!(jwe.len() < plain.len() / 3 * 4 + 3_000);
    }
    assert!(sealed(&dull, 1).len() < 10_000, "it is compressed first");
}

#[test]
fn more_than_may_be_inflated_is_neither_sealed_nor_inflated() {
    let error = seal_with(
        &vec![0; LARGEST + 1],
        code(1).password(),
        2,
        &mut from_seed(1),
    )
    .unwrap_err();
    assert!(matches!(error, NotSealed::TooLarge { bytes } if bytes == LARGEST + 1));
    assert!(error.source().is_none());
    let bomb = deflate(&vec![0; 1_000_001]).unwrap();
    assert!(bomb.len() < 2_000);
    assert_eq!(inflate(&bomb, 1_000_000), None);
    assert_eq!(
        inflate(&bomb, 1_000_001).map(|plain| plain.len()),
        Some(1_000_001)
    );
    assert_eq!(
        inflate(&[&bomb[..], b"x"].concat(), 1_000_001),
        None,
        "something behind the end"
    );
    assert_eq!(
        inflate(&bomb[..bomb.len() - 1], 1_000_001),
        None,
        "cut short"
    );
    assert_eq!(inflate(&[], 1_000_001), None);
}

#[test]
fn headers_that_are_not_ours_are_not_read() {
    let jwe = sealed(b"Fern", 1);
    let salt = encode([1; 16]);
    let ours = format!(
        r#"{{"alg":"PBES2-HS512+A256KW","enc":"A256GCM","zip":"DEF","p2c":2,"p2s":"{salt}"}}"#
    );
    assert!(read_header(&with_header(&jwe, &ours)).is_some());
    // A member that need not be understood is passed over.
    assert!(read_header(&with_header(&jwe, &ours.replace('}', r#","cty":"json"}"#))).is_some());
    let others = [
        ours.replace("PBES2-HS512+A256KW", "PBES2-HS256+A128KW"),
        ours.replace("PBES2-HS512+A256KW", "dir"),
        ours.replace("PBES2-HS512+A256KW", "none"),
        ours.replace("A256GCM", "A128GCM"),
        ours.replace("DEF", "GZ"),
        ours.replace(r#""zip":"DEF","#, ""),
        ours.replace(r#""p2c":2"#, r#""p2c":-2"#),
        ours.replace(r#""p2c":2"#, r#""p2c":2.0"#),
        ours.replace(r#""p2c":2"#, r#""p2c":"2""#),
        ours.replace(r#""p2c":2"#, r#""p2c":99999999999"#),
        ours.replace(r#""p2c":2"#, r#""p2c":2,"p2c":3"#),
        ours.replace(&salt, &encode([1; 7])),
        ours.replace(&salt, &encode([1; 65])),
        ours.replace(&salt, "=="),
        ours.replace('}', r#","crit":["exp"]}"#),
        ours.replace('}', &format!(r#","x":"{}"}}"#, "x".repeat(1000))),
        "[]".to_owned(),
        "{}".to_owned(),
        String::new(),
        "[".repeat(700),
    ];
    for other in others {
        assert_eq!(read_header(&with_header(&jwe, &other)), None, "{other}");
    }
    assert_eq!(
        SealedParts::of(&"A".repeat(LONGEST + 1)).map(|parts| parts.tag),
        None
    );
}

#[test]
fn ten_thousand_changed_texts_never_open_and_all_fail_alike() {
    let plain = b"{\"name\":\"Fern\",\"weights\":[212,209,215]}";
    let (jwe, code) = (sealed(plain, 1), code(1));
    assert_eq!(
        open_within(&jwe, code.password(), &ANY).as_deref(),
        Some(&plain[..])
    );
    let alphabet = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_.=+/ \n\0";
    let bytes: Vec<Vec<u8>> = jwe.split('.').map(|part| decode(part).unwrap()).collect();
    let mut random = Repeatable(2);
    let (mut tried, mut whole) = (0, 0);
    while tried < 10_000 {
        // By turns in the text as it is written, and in the bytes that it stands for, so that it
        // keeps its form.
        let changed = if tried % 2 == 0 {
            let mut changed = jwe.clone().into_bytes();
            for _ in 0..=random.below(3) {
                let place = random.below(changed.len());
                let other = alphabet[random.below(alphabet.len())];
                match random.below(5) {
                    0 => drop(changed.remove(place)),
                    1 => changed.insert(place, other),
                    2 => changed.truncate(place + 1),
                    _ => changed[place] = other,
                }
            }
            String::from_utf8(changed).unwrap()
        } else {
            let mut changed = bytes.clone();
            for _ in 0..=random.below(3) {
                let part = &mut changed[1 + random.below(4)];
                let place = random.below(part.len());
                part[place] = random.next().to_le_bytes()[0];
            }
            changed.iter().map(encode).collect::<Vec<_>>().join(".")
        };
        if changed == jwe {
            continue;
        }
        tried += 1;
        // How many reach the ciphers: the test would show little if the form alone turned all of
        // them away.
        whole += u32::from(SealedParts::of(&changed).is_some());
        // A changed header may ask for up to two million rounds; a few dozen are enough.
        assert_eq!(
            open_within(&changed, code.password(), &(1..=50)),
            None,
            "{changed}"
        );
    }
    assert!(whole > 5_000, "{whole}");
}

#[test]
fn every_changed_bit_of_every_part_is_noticed() {
    let (jwe, code) = (sealed(b"Fern", 1), code(1));
    let parts: Vec<Vec<u8>> = jwe.split('.').map(|part| decode(part).unwrap()).collect();
    for part in 1..5 {
        for bit in 0..parts[part].len() * 8 {
            let mut changed = parts.clone();
            changed[part][bit / 8] ^= 1 << (bit % 8);
            let changed = changed.iter().map(encode).collect::<Vec<_>>().join(".");
            assert_eq!(open_within(&changed, code.password(), &ANY), None);
        }
    }
    // The header written in another way, with the same meaning: its bytes are authenticated.
    let json = String::from_utf8(parts[0].clone())
        .unwrap()
        .replace(":2,", ": 2,");
    assert_eq!(read_header(&with_header(&jwe, &json)), read_header(&jwe));
    assert_eq!(
        open_within(&with_header(&jwe, &json), code.password(), &ANY),
        None
    );
}

#[test]
fn ten_thousand_other_codes_never_open() {
    let (jwe, code) = (sealed(b"Fern", 1), code(1));
    let mut random = from_seed(9);
    let mut choice = Repeatable(4);
    for round in 0..10_000 {
        let other = if round % 2 == 0 {
            AccessCode::generate(&mut random).unwrap()
        } else {
            // One symbol of the right code changed, and the check symbol made to fit.
            let mut symbols = code.to_string().replace('-', "").into_bytes();
            let place = choice.below(23);
            let before = symbols[place];
            while symbols[place] == before {
                symbols[place] = b"0123456789ABCDEFGHJKMNPQRSTVWXYZ"[choice.below(32)];
            }
            let written =
                |check: u8| String::from_utf8([&symbols[..23], &[check]].concat()).unwrap();
            b"0123456789ABCDEFGHJKMNPQRSTVWXYZ*~$=U"
                .iter()
                .find_map(|check| written(*check).parse().ok())
                .unwrap()
        };
        assert_ne!(other, code);
        assert_eq!(open_within(&jwe, other.password(), &ANY), None);
    }
}

#[test]
fn there_is_one_wording_for_everything_that_does_not_open() {
    let jwe = seal_with(b"Fern", code(1).password(), 1_000, &mut from_seed(2)).unwrap();
    let cut = &jwe[..jwe.len() - 1];
    let failures = [
        open(&jwe, &code(2)),
        open(cut, &code(1)),
        open("", &code(1)),
        open("....", &code(1)),
        open("🐾.🐾.🐾.🐾.🐾", &code(1)),
        open(&format!("{jwe}."), &code(1)),
    ];
    for failure in failures {
        let error = failure.unwrap_err();
        assert_eq!(
            error.to_string(),
            "this access code does not open this page"
        );
        assert_eq!(format!("{error:?}"), "Unopened");
    }
}

proptest! {
    #[test]
    fn any_content_comes_back_as_it_was(
        plain in proptest::collection::vec(any::<u8>(), 0..2_000),
        seed: u64,
    ) {
        let jwe = sealed(&plain, seed >> 1);
        prop_assert_eq!(open_within(&jwe, code(seed >> 1).password(), &ANY), Some(plain));
        prop_assert!(
            jwe.bytes()
                .all(|byte| byte.is_ascii_alphanumeric() || b"-_.".contains(&byte))
        );
    }

    #[test]
    fn no_text_makes_opening_panic(
        text in any::<String>(),
        parts in proptest::collection::vec("[A-Za-z0-9_-]{0,60}", 0..7),
    ) {
        prop_assert_eq!(open(&text, &code(1)), Err(Unopened));
        prop_assert_eq!(open(&parts.join("."), &code(1)), Err(Unopened));
    }
}
