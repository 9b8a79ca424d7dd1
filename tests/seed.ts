import fc from "fast-check";

/** Chance takes the same way in every run and on every commit; `SEED=123` takes another, `SEED` of a failure the same. */
fc.configureGlobal({ seed: Number(process.env.SEED ?? 20_251) });
