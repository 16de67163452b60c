use super::*;
use crate::keys::bounds;

fn value(text: &str, bound: &Bound) -> f64 {
    match parse(text, bound) {
        Ok(q) => q.value,
        Err(w) => panic!("{text}: {w:?}"),
    }
}

fn near(a: f64, b: f64) {
    assert!((a - b).abs() <= 1e-12 * b.abs(), "{a} against {b}");
}

#[test]
fn reads_what_a_workshop_writes() {
    for text in ["15 psi", "15psi", "15 PSI", " 15.0  Psi ", "+15 psi", "1.5e1 psi"] {
        near(value(text, &bounds::GAUGE), 15.0 * 6_894.757_293_168_361);
    }
    near(value("3/16 in", &bounds::TUBE_BORE), 0.0047625);
    near(value("3/16\"", &bounds::TUBE_BORE), 0.0047625);
    near(value("1 1/2 in", &bounds::HEIGHT), 0.0381);
    near(value(".5 mm", &bounds::PORT_BORE), 0.0005);
    near(value("30 cc", &bounds::CHAMBER), 30e-6);
    near(value("68 °F", &bounds::TEMPERATURE), 293.15);
    near(value("−40 °C", &bounds::TEMPERATURE), 233.15);
    near(value("20 %", &bounds::SHARE), 0.2);
    near(value("0.2", &bounds::SHARE), 0.2);
    near(value("1200 cSt", &bounds::VISCOSITY_COLD), 1.2e-3);
}

#[test]
fn spread_is_a_ninety_percent_half_width() {
    let sd = |text: &str, bound: &Bound| match parse(text, bound).map(|q| q.spread) {
        Ok(Some(Spread::Normal { sd })) => sd,
        other => panic!("{text}: {other:?}"),
    };
    // Standard normal table: the 95 % point is 1.6449 (any handbook of statistics).
    let expected = 0.05e-3 / 1.6449;
    for text in ["3.33 mm ± 0.05 mm", "3.33 mm +- 0.05 mm", "3.33 ± 0.05 mm", "3.33mm+/-0.05"] {
        assert!((sd(text, &bounds::TUBE_BORE) / expected - 1.0).abs() < 1e-4, "{text}");
    }
    near(sd("4 m ± 10 %", &bounds::TUBE_LENGTH) * HALF_OF_90_PERCENT, 0.4);
    near(sd("40 % ± 15 %", &bounds::PAD_WEAR) * HALF_OF_90_PERCENT, 0.15);
    near(sd("68 °F ± 9 °F", &bounds::TEMPERATURE) * HALF_OF_90_PERCENT, 5.0);
    let exact = Quantity { value: 4.0, spread: Some(Spread::Exact) };
    assert_eq!(parse("4 m ± 0 m", &bounds::TUBE_LENGTH), Ok(exact));
    assert_eq!(parse("4 m ± 0", &bounds::TUBE_LENGTH), Ok(exact));
    assert_eq!(parse("4 m", &bounds::TUBE_LENGTH), Ok(Quantity::known(4.0)));
}

#[test]
fn wrong_ones_say_what_would_be_right() {
    let table: &[(&str, &Bound, &str, &str)] = &[
        ("3500", &bounds::TUBE_LENGTH, "has no unit", "write \"3500 mm\" if that is meant"),
        (
            "5",
            &bounds::TUBE_LENGTH,
            "has no unit",
            "\"5 m\" or \"5 in\" (which is 0.127 m) or \"5 ft\" (which is 1.52 m)",
        ),
        ("4000000", &bounds::TUBE_LENGTH, "has no unit", "units: mm, cm, m, in, ft"),
        (
            "15",
            &bounds::GAUGE,
            "has no unit",
            "write \"15 psi\" if that is meant (15 psi is 103 kPa; 15 kPa would be 2.18 psi)",
        ),
        (
            "1 ± 0.1",
            &bounds::GAUGE,
            "`1` has no unit",
            "write \"1 bar\" if that is meant (1 bar is 100 kPa; 1 kPa would be 0.01 bar)",
        ),
        (
            "68",
            &bounds::TEMPERATURE,
            "has no unit",
            "write \"68 °F\" if that is meant (68 °F is 20 °C; 68 °C would be 154 °F)",
        ),
        ("20", &bounds::TEMPERATURE, "has no unit", "\"20 °C\" or \"20 °F\" (which is -6.67 °C)"),
        (
            "22",
            &bounds::SUCTION,
            "has no unit",
            "write \"22 inHg\" if that is meant (22 inHg is 74.5 kPa; 22 kPa would be 6.5 inHg)",
        ),
        ("5 psi", &bounds::TUBE_LENGTH, "is a pressure, but a length", "\"5 m\""),
        ("-5 m", &bounds::TUBE_LENGTH, "is negative", "1e-3 m to 50 m"),
        ("900 mm", &bounds::TUBE_BORE, "too large", "0.5 mm to 25 mm"),
        ("9 in", &bounds::TUBE_BORE, "9 in is too large", "0.01969 in to 0.9842 in"),
        ("900 psi", &bounds::GAUGE, "too large", "0.1451 psi to 72.51 psi"),
        ("900 K", &bounds::TEMPERATURE, "too large", "233.2 K to 353.1 K"),
        ("nan mm", &bounds::TUBE_BORE, "no quantity", "3.33 mm"),
        ("inf mm", &bounds::TUBE_BORE, "no quantity", "3.33 mm"),
        ("1e999 mm", &bounds::TUBE_BORE, "too large a number", "ordinary size"),
        ("3,33 mm", &bounds::TUBE_BORE, "comma", "`3.33 mm`"),
        ("8 fl oz", &bounds::CHAMBER, "more than one unit", "US fl oz"),
        ("8 qt", &bounds::CHAMBER, "more than one unit", "imp qt"),
        ("3 mmm", &bounds::TUBE_BORE, "not a unit", "did you mean `mm`"),
        ("thick", &bounds::TUBE_BORE, "does not begin with a number", "3.33 mm"),
        ("", &bounds::TUBE_BORE, "no number", "3.33 mm"),
        ("20 °C ± 5 %", &bounds::TEMPERATURE, "percent", "degrees"),
        ("3 mm ± -1 mm", &bounds::TUBE_BORE, "negative", "minus"),
        ("3/0 in", &bounds::TUBE_BORE, "no finite number", "3.33 mm"),
        ("1 3/2 in", &bounds::TUBE_BORE, "space in its number", "write"),
        ("20 %", &bounds::WATER, "20 % is too large for water", "0 % to 10 %"),
    ];
    for (text, bound, what, remedy) in table {
        match parse(text, bound) {
            Ok(q) => panic!("{text} was read as {q:?}"),
            Err(w) => {
                assert!(w.what.contains(what), "{text}: {}", w.what);
                // 1e-3 m is shown plainly.
                let remedy = remedy.replace("1e-3", "0.001");
                assert!(w.remedy.contains(&remedy), "{text}: {}", w.remedy);
            }
        }
    }
}

#[test]
fn the_ends_of_a_range_belong_to_it() {
    assert_eq!(value("-40 °C", &bounds::TEMPERATURE), bounds::TEMPERATURE.min);
    assert_eq!(value("176 °F", &bounds::TEMPERATURE), bounds::TEMPERATURE.max);
    assert_eq!(value("25 mm", &bounds::TUBE_BORE), bounds::TUBE_BORE.max);
}

/// What a message says is allowed is taken when it is written so, in every unit.
#[test]
fn the_ends_that_messages_name_are_taken() {
    for bound in bounds::ALL {
        for unit in bound.dimension.units() {
            let told = range(bound, unit);
            let (from, to) = told
                .strip_prefix("it may be ")
                .and_then(|t| t.split_once(" to "))
                .expect("two ends");
            for end in [from, to] {
                assert!(parse(end, bound).is_ok(), "{}: {end}", bound.name);
            }
        }
    }
}
