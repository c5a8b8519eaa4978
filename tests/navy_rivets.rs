//! Rivets against NAVEDTRA 14018, Aviation Structural Mechanic, chapter 13, and FAA-H-8083-31, vol. 1, chapter 4. The mark beside each
//! value says how it is known.

use strongback_model::trade::rivets::{self, InDiameters};
use strongback_model::trade::{Known, Source};

/// L = G + 1.5 D (read in NAVEDTRA 14018, fig. 13-43, and FAA-H-8083-31, fig. 4-76). Of G 0.064 and D 1/8: 0.2515 (computed); the nearest
/// size is -4, 0.250 (common practice, no source); TM 10-7360-209-13P takes the next longer one (read), which in half sizes is -4.5.
#[test]
fn length() {
    let choice = rivets::choose(0.125, 0.064).unwrap();
    assert!((choice.exact - 0.2515).abs() < 0.0005);
    assert_eq!(choice.chosen.dash(), "4");
    assert_eq!(choice.longer.dash(), "4.5");
    assert_eq!(rivets::LENGTH.source.known, Known::Read);
    assert_eq!(rivets::NEAREST.known, Known::CommonPractice);
}

/// Shop head 1.5 D over all and 0.5 D high (second-hand, FAA test bank). A limit of 3/32 rivets quoted in a builders' forum
/// (second-hand): at least 0.122 over all and 0.038 to 0.050 high: the rule is within it.
#[test]
fn shop_head() {
    let d = 3.0 / 32.0;
    let [wide, high] = [rivets::SHOP_HEAD_WIDE, rivets::SHOP_HEAD_HIGH];
    assert!(wide.times * d >= 0.122);
    assert!((0.038..=0.050).contains(&(high.times * d)));
    assert_eq!(
        [wide.source.known, high.source.known],
        [Known::SecondHand; 2]
    );
}

/// Least pitch 3 D (read), usual pitch 4 D to 8 D (read), diameter from the thickest sheet to 3 times it (read); rows at least 2.5 D apart
/// (read in TM 10-5410-229-13P); a stricter opinion of an engineering firm wants 4 D (read): 0.500 of a 1/8 rivet.
#[test]
fn pitch_and_diameter() {
    let read = |rule: InDiameters, times: f64| {
        assert_eq!(rule.times, times);
        assert_eq!(rule.source.known, Known::Read, "{}", rule.source.name);
    };
    read(rivets::PITCH_LEAST, 3.0);
    read(rivets::PITCH_USUAL, 4.0);
    read(rivets::PITCH_USUAL_MOST, 8.0);
    read(rivets::PITCH_STRICTER, 4.0);
    read(rivets::ROWS_APART, 2.5);
    read(rivets::DIAMETER[0], 1.0);
    read(rivets::DIAMETER[1], 3.0);
    assert_eq!(rivets::PITCH_STRICTER.times * 0.125, 0.500);
}

/// Sources for the most disagree, and all are there: 8 D usual (read), 10 D (second-hand); edge at most 4 D (second-hand).
#[test]
fn what_disagrees_is_kept_apart() {
    let most = [rivets::PITCH_USUAL_MOST, rivets::PITCH_MOST];
    assert!(most[0].times < most[1].times);
    let known = |rule: InDiameters| -> Source { rule.source };
    assert_eq!(known(most[1]).known, Known::SecondHand);
    assert_eq!(rivets::EDGE_MOST.times, 4.0);
    assert_eq!(known(rivets::EDGE_MOST).known, Known::SecondHand);
}
