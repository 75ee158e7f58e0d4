//! Conjugate updates against closed forms of the textbooks.

use mountwright::memory::Belief;
use mountwright::spread::Chance;

/// One number, noise of its own: Gelman et al., *Bayesian Data Analysis*, section 3.3 (from memory), as normal-inverse-gamma:
/// `κ' = κ + n`, `μ' = (κμ + nȳ)/κ'`, `a' = a + n/2`, `b' = b + ½ Σ(y-ȳ)² + κ n (ȳ-μ)² / (2κ')`.
#[test]
fn one_number_is_updated_as_the_textbook_has_it() {
    let y = [0.31, 0.12, 0.44, 0.05, 0.27];
    let (mu, sd, noise, a) = (0.1, 0.2, 0.25, 3.0);
    let (kappa, b) = ((noise / sd) * (noise / sd), noise * noise * (a - 1.0));
    let n = y.len() as f64;
    let mean = y.iter().sum::<f64>() / n;
    let squares: f64 = y.iter().map(|v| (v - mean).powi(2)).sum();
    let kappa_n = kappa + n;
    let mu_n = (kappa * mu + n * mean) / kappa_n;
    let (a_n, b_n) = (
        a + n / 2.0,
        b + squares / 2.0 + kappa * n * (mean - mu).powi(2) / (2.0 * kappa_n),
    );
    let mut belief = Belief::prior(&[mu], &[sd], noise, a, 0.0).unwrap();
    for v in y {
        belief = belief.seen(&[(&[0], v)]);
    }
    let told = belief.of(&[1.0], 0.0).unwrap();
    // To rounding: some hundred operations.
    assert!((told.mean - mu_n).abs() < 1e-13);
    assert!((told.scale - (b_n / a_n / kappa_n).sqrt()).abs() < 1e-13);
    assert!((told.freedom - 2.0 * a_n).abs() < 1e-13);
    let (shape, rate) = belief.noise().unwrap();
    assert!((shape - a_n).abs() < 1e-13 && (rate - b_n).abs() < 1e-13);
    // A new time: one noise more.
    let next = belief.of(&[1.0], 1.0).unwrap();
    assert!((next.scale - (b_n / a_n * (1.0 + 1.0 / kappa_n)).sqrt()).abs() < 1e-13);
}

/// What a group shares, integrated out (Sherman and Morrison 1950), is what it is as an unknown of its own.
#[test]
fn a_shared_pace_may_be_written_as_an_unknown_of_its_own() {
    let jobs = [[0.2, 0.5, 0.1], [-0.1, 0.3, 0.0], [0.4, 0.6, 0.35]];
    let (noise, shape, shared) = (0.25, 3.0, 0.4);
    let sds = [0.1, 0.2, 0.2, 0.2];
    let mut with = Belief::prior(&[0.05, 0.0, 0.0, 0.0], &sds, noise, shape, shared).unwrap();
    let own_sd = noise * f64::sqrt(shared);
    let more = [sds.to_vec(), vec![own_sd; jobs.len()]].concat();
    let mut means = vec![0.0; more.len()];
    means[0] = 0.05;
    let mut apart = Belief::prior(&means, &more, noise, shape, 0.0).unwrap();
    for (j, job) in jobs.iter().enumerate() {
        let rows: Vec<([usize; 2], f64)> = job
            .iter()
            .enumerate()
            .map(|(k, y)| ([0, 1 + k], *y))
            .collect();
        let group: Vec<(&[usize], f64)> = rows.iter().map(|(x, y)| (&x[..], *y)).collect();
        with = with.seen(&group);
        for (x, y) in &rows {
            apart = apart.seen(&[(&[x[0], x[1], 4 + j], *y)]);
        }
    }
    for i in 0..4 {
        let mut x = [0.0; 4];
        x[i] = 1.0;
        let mut longer = vec![0.0; more.len()];
        longer[i] = 1.0;
        let (one, other) = (with.of(&x, 0.0).unwrap(), apart.of(&longer, 0.0).unwrap());
        assert!((one.mean - other.mean).abs() < 1e-12 && (one.scale - other.scale).abs() < 1e-12);
    }
}

/// Girls among births with placenta praevia, 437 of 980, under a flat prior: mean 0.446, central 95 % from 0.415 to 0.477
/// (Gelman et al., *Bayesian Data Analysis*, section 2.4; from memory, to the digits printed there).
#[test]
fn a_share_is_learned_as_in_the_textbook() {
    let flat = Chance { yes: 1.0, no: 1.0 };
    let told = flat.seen(980, 437);
    assert!((told.mean() - 0.446).abs() < 5e-4);
    assert!((told.quantile(0.025).unwrap() - 0.415).abs() < 5e-4);
    assert!((told.quantile(0.975).unwrap() - 0.477).abs() < 5e-4);
}

/// The rule of succession (Laplace 1774): after `s` of `n`, the next with `(s + 1)/(n + 2)`; and a law adds up to one.
#[test]
fn the_next_try_follows_the_rule_of_succession() {
    let told = Chance { yes: 1.0, no: 1.0 }.seen(9, 3);
    assert!((told.of(1, 1) - 4.0 / 11.0).abs() < 1e-12);
    let all: f64 = (0..=12).map(|k| told.of(k, 12)).sum();
    assert!((all - 1.0).abs() < 1e-12);
    let mean: f64 = (0..=12).map(|k| f64::from(k) * told.of(k, 12)).sum();
    assert!((mean - 12.0 * told.mean()).abs() < 1e-10);
}
