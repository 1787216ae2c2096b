//! The sealed channel: published vectors, and what must not open.

use super::*;
use crate::test_help::{Repeatable, from_seed, hex};
use proptest::prelude::*;

fn code(seed: u64) -> AccessCode {
    AccessCode::generate(&mut from_seed(seed)).unwrap()
}

fn name(byte: u8) -> Name {
    [byte; NAME]
}

fn channel() -> Channel {
    Channel::new(&code(1), &name(1), &name(2), &name(3))
}

// RFC 5869, appendix A.1 and A.3.
#[test]
fn keys_are_derived_as_rfc_5869_does() {
    let expanded = |salt: Option<&[u8]>, key: &[u8], info: &[u8]| {
        let mut out = [0_u8; 42];
        Hkdf::<Sha256>::new(salt, key)
            .expand(info, &mut out)
            .unwrap();
        out.to_vec()
    };
    let key = [0x0b; 22];
    assert_eq!(
        expanded(
            Some(&hex("000102030405060708090a0b0c")),
            &key,
            &hex("f0f1f2f3f4f5f6f7f8f9")
        ),
        hex("3cb25f25faacd57a90434f64d0362f2a2d2d0a90cf1a5a4c5db02d56ecc4c5bf34007208d5b887185865")
    );
    assert_eq!(
        expanded(None, &key, &[]),
        hex("8da4e775a563c18f715f802a063c5a31b8a11f5c5ee1879ec3454e5f3c738d2d9d201395faa4b61a96c8")
    );
}

// The layout of this channel, from HMAC alone (RFC 5869 section 2: one block of output each).
#[test]
fn each_direction_has_a_key_bound_to_phone_run_and_sitting() {
    use hmac::{Hmac, Mac};
    let mac = |key: &[u8], parts: &[&[u8]]| {
        let mut mac = <Hmac<Sha256> as hmac::KeyInit>::new_from_slice(key).unwrap();
        for part in parts {
            mac.update(part);
        }
        <[u8; 32]>::from(mac.finalize().into_bytes())
    };
    let salt = [name(1), name(2), name(3)].concat();
    let drawn = mac(&salt, &[code(1).password()]);
    for (direction, purpose) in [
        (Direction::ToDesk, "litterfolio phone 1: to the desk"),
        (Direction::ToPhone, "litterfolio phone 1: to the phone"),
    ] {
        let key = mac(&drawn, &[purpose.as_bytes(), &[1]]);
        let cipher = ChaCha20Poly1305::new(&Key::from(key));
        let by_hand = cipher
            .encrypt(&Nonce::<ChaCha20Poly1305>::from([0; 12]), b"x".as_slice())
            .unwrap();
        assert_eq!(channel().seal(direction, 0, b"x").unwrap(), by_hand);
    }
}

// RFC 8439, section 2.8.2.
#[test]
fn messages_are_sealed_as_rfc_8439_does() {
    use chacha20poly1305::aead::Payload;
    let key: [u8; 32] = hex("808182838485868788898a8b8c8d8e8f909192939495969798999a9b9c9d9e9f")
        .try_into()
        .unwrap();
    let nonce: [u8; 12] = hex("070000004041424344454647").try_into().unwrap();
    let text = b"Ladies and Gentlemen of the class of '99: If I could offer you only one tip for \
                 the future, sunscreen would be it.";
    let sealed = ChaCha20Poly1305::new(&Key::from(key))
        .encrypt(
            &nonce.into(),
            Payload {
                msg: text,
                aad: &hex("50515253c0c1c2c3c4c5c6c7"),
            },
        )
        .unwrap();
    assert_eq!(
        sealed,
        hex(
            "d31a8d34648e60db7b86afbc53ef7ec2a4aded51296e08fea9e2b5a736ee62d6\
             3dbea45e8ca9671282fafb69da92728b1a71de0a9e060b2905d6a5b67ecd3b36\
             92ddbd7f2d778b8c9803aee328091b58fab324e4fad675945585808b4831d7bc\
             3ff4def08e4b7a9de576d26586cec64b61161ae10b594f09e26a7e902ecbd0600691"
        )
    );
}

#[test]
fn the_number_is_the_nonce() {
    assert_eq!(
        nonce(0x0102_0304_0506_0708)[..],
        hex("000000000102030405060708")
    );
}

#[test]
fn what_was_said_opens_on_the_other_side_and_nowhere_else() {
    let sealed = channel().seal(Direction::ToDesk, 7, b"412 g").unwrap();
    let opened = |channel: &Channel, direction, number, sealed: &[u8]| {
        channel
            .open(direction, number, sealed)
            .map(|text| text.to_vec())
    };
    assert_eq!(
        opened(&channel(), Direction::ToDesk, 7, &sealed),
        Ok(b"412 g".to_vec())
    );
    let refused = Err(NotOpened);
    assert_eq!(opened(&channel(), Direction::ToPhone, 7, &sealed), refused);
    assert_eq!(opened(&channel(), Direction::ToDesk, 8, &sealed), refused);
    for other in [
        Channel::new(&code(2), &name(1), &name(2), &name(3)),
        Channel::new(&code(1), &name(9), &name(2), &name(3)),
        Channel::new(&code(1), &name(1), &name(9), &name(3)),
        Channel::new(&code(1), &name(1), &name(2), &name(9)),
        // The same bytes, cut elsewhere, are another name.
        Channel::new(&code(1), &name(2), &name(1), &name(3)),
    ] {
        assert_eq!(opened(&other, Direction::ToDesk, 7, &sealed), refused);
    }
}

#[test]
fn a_changed_or_shortened_message_is_refused() {
    let sealed = channel()
        .seal(Direction::ToDesk, 1, b"Thistle 412 g")
        .unwrap();
    for at in 0..sealed.len() {
        let mut changed = sealed.clone();
        changed[at] ^= 1;
        assert!(channel().open(Direction::ToDesk, 1, &changed).is_err());
        assert!(channel().open(Direction::ToDesk, 1, &sealed[..at]).is_err());
    }
}

#[test]
fn each_number_is_taken_once_and_in_rising_order() {
    let mut heard = Heard::default();
    let taken: Vec<bool> = [0, 0, 1, 5, 4, 5, 6, u64::MAX, u64::MAX, 0]
        .map(|number| heard.take(number))
        .to_vec();
    assert_eq!(
        taken,
        [
            true, false, true, true, false, false, true, true, false, false
        ]
    );
}

#[test]
fn an_envelope_that_is_cut_is_none() {
    let bytes = [&name(1)[..], &name(2), &7_u64.to_be_bytes(), b"sealed"].concat();
    assert_eq!(
        Envelope::read(&bytes),
        Some(Envelope {
            phone: name(1),
            sitting: name(2),
            number: 7,
            sealed: b"sealed"
        })
    );
    for length in 0..HEAD {
        assert_eq!(Envelope::read(&bytes[..length]), None, "{length}");
    }
    assert_eq!(Envelope::read(&vec![0; HEAD + LONGEST + 1]), None);
}

#[test]
fn nothing_secret_is_printed() {
    assert_eq!(format!("{:?}", channel()), "Channel(…)");
}

#[test]
fn forged_messages_do_not_open() {
    let channel = channel();
    let mut random = Repeatable(5);
    for number in 0..10_000 {
        let length = random.below(64);
        let forged = random.bytes(length);
        assert!(channel.open(Direction::ToDesk, number, &forged).is_err());
    }
}

proptest! {
    #[test]
    fn any_bytes_are_read_as_an_envelope_or_refused(
        bytes in proptest::collection::vec(any::<u8>(), 0..200),
    ) {
        if let Some(envelope) = Envelope::read(&bytes) {
            prop_assert_eq!(envelope.sealed.len() + HEAD, bytes.len());
            let opened = channel().open(Direction::ToDesk, envelope.number, envelope.sealed);
            prop_assert!(opened.is_err());
        }
    }
}
