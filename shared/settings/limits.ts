/** Constants that a keeper could not choose sensibly, each with its reason. All times in milliseconds. */

/** Outputs fall to their safe state this long after the last renewal: long enough for one late scan. */
export const OUTPUT_EXPIRY_MS = 1_000;
/** A scan that begins this much later than planned is *late*; one that takes this long is *overlong*. */
export const LATE_SCAN_MS = 50;
export const OVERLONG_SCAN_MS = 50;
/** What is sensed behind a contact lags its command; only after this long does power mean a contact that did not open. */
export const SENSED_LAG_MS = 2_000;
/** Water that hands have stirred is mixed and quiet again after this. */
export const MIXED_AFTER_MS = 1_800_000;
/** A gap between scans beyond this is no scan rhythm: windows are emptied, credits stop. */
export const SCAN_GAP_MS = OUTPUT_EXPIRY_MS;

/** A contact is sampled ten times a second by the board; older than this, the board does not report it. */
export const CONTACT_STALE_MS = 2_000;
/** Probes are polled about once a second; three polls may be lost. */
export const PROBE_STALE_MS = 10_000;

/** Inputs must be good this long after a start before anything is energised. */
export const STEADY_MS = 60_000;
/** Top-off waits this long after mains and return pump are steady. */
export const TOP_OFF_AFTER_START_MS = 600_000;
/** The return pump must have run this long before the heater may. */
export const FLOW_BEFORE_HEAT_MS = 120_000;
/** The level needs this long after a stop or start of the return pump. */
export const RETURN_PUMP_SETTLE_MS = 300_000;

/** High float: latches after this long wet in sum, or this many touches in an hour. */
export const HIGH_FLOAT_LATCH_MS = 2_000;
export const HIGH_FLOAT_TOUCHES = 3;
export const FLOOR_LATCH_MS = 2_000;
export const CONTRADICTION_LATCH_MS = 60_000;
/** No pour may run longer than this, whatever the slice: twice the longest slice at the slowest proven flow is less. */
export const LONGEST_POUR_MS = 60_000;
/** Litres beyond those owed after which a level that did not answer is called unanswered. */
export const UNANSWERED_MARGIN_UL = 1_000_000;
/** The pump may be stronger than proven. */
export const FLOW_MARGIN = 1.25;
/** Failed pours: +2 on failure, −1 on success, lock at 6. */
export const FAILURES_TO_LOCK = 6;
/** How long a charge may wait for the disk before it is given back. */
export const DURABLE_WAIT_MS = 30_000;
/** A card that tidies up may take seconds for one write; a disk that takes longer than this is not there any more. */
export const DISK_HANGS_MS = 10_000;
/** A hand test gives back excess at most this often. */
export const HAND_TEST_EVERY_MS = 3_600_000;

export const HEAT_MINIMUM_ON_MS = 60_000;
export const HEAT_MINIMUM_OFF_MS = 60_000;
/** Three conversions of a thermometer at one a second. */
export const CUT_OUT_MS = 3_000;
/** The cut-out clears this far below its limit when no heater can be the cause. */
export const CUT_OUT_CLEARS_K = 1;
/** Two heaters never start together: their inrush trips a breaker that carries both. */
export const HEATERS_APART_MS = 10_000;
/** The heater whose turn it is has been judged by its effect before the other one comes to its help. */
export const HEATER_JOINS_MS = 4_200_000;
export const RECENT_HEAT_MS = 1_800_000;
export const EFFECT_WINDOW_MS = 3_600_000;
export const LONGEST_ON_MS = 3 * 3_600_000;
export const SLOPE_CHECK_MS = 600_000;
export const HEAT_GUARD_OPEN_MS = 1_800_000;
export const WELD_CHECK_AFTER_OFF_MS = 1_800_000;
/** Cautious duty runs in cycles of this length. */
export const CAUTIOUS_CYCLE_MS = 600_000;
export const CAUTIOUS_DUTY_MOST = 0.5;
/** Where only one of the heater's contacts opens it is switched seldom: each off must be confirmed before the next on. */
export const ONE_CONTACT_CYCLE_MS = 3_600_000;
/** A slope needs twenty minutes to be known, and a little more to be seen. */
export const OFF_CONFIRM_MS = 1_800_000;
/** A slope that did not fall disproves a weld for the day. */
export const WELD_DISPROVED_MS = 86_400_000;
/** Heat of strong lamps in the water of a small box (*common practice*). */
export const STRONG_LAMP_W = 80;
/** With the low float lost, a working float that reads full for this long shows that the heater is covered. */
export const COVER_BY_FLOAT_MS = 600_000;
/** Thermometers agree within the first, are still of use up to the second. */
export const THERMOMETERS_AGREE_K = 0.7;
export const THERMOMETERS_APART_K = 2;
export const DISAGREE_AFTER_MS = 300_000;

export const HOLD_MOST_MINUTES = 240;
export const HOLD_WITH_HEAT_MOST_MINUTES = 120;

/** Saturation of every amount of time in memory: ten days. */
export const AMOUNT_MOST_MS = 864_000_000;

export const HOUR_MS = 3_600_000;
/** After a pour that changed nothing, the next try waits longer. */
export const REST_AFTER_FAILURE_MS = 1_800_000;
/** Heat capacity of a litre of sea water at salinity 35 and 25 °C: 1.023 kg × 3,998 J/(kg K) (UNESCO 44). */
export const SEA_WATER_J_PER_L_K = 4_090;

/** No plug-in heater of a box has more: what relay, wire and plug carry ends there. */
export const LARGEST_HEATER_W = 2000;

/** What was seen of a part may be called its proof for this long. */
export const PROOF_EVIDENCE_MS = 600_000;
/** The lift of the high float is due after five weeks; after sixty days the budget is the lowest credible evaporation. */
export const PROOF_WARNING_MS = 35 * 86_400_000;
export const PROOF_OVERDUE_MS = 60 * 86_400_000;
/** What moves little and rarely fails unseen is looked at once a year. */
export const PROOF_YEARLY_MS = 365 * 86_400_000;
/** A contact must stay for this long to have been seen there: no splash and no bounce. */
export const PROOF_DWELL_MS = 1_000;
export const PROVE_PUMP_MOST_S = 30;
export const PROVE_HEATER_MOST_S = 60;
/** The siphon test: the pump has stopped, and somebody watches the jug for this long. */
export const SIPHON_WATCH_MS = 60_000;
/** More than this after the stop is no run-on but a siphon. */
export const SIPHON_MOST_ML = 50;
/** Two runs into a jug must agree within this share. */
export const FLOW_AGREES = 0.1;
/** A jug is read to a few millilitres: less than this shows no flow. */
export const JUG_LEAST_ML = 40;
/** A hand warms a thermometer by this much within a run. */
export const WARMED_K = 1;
/** Somebody who said that they stand at the tank is believed for at most this long. */
export const AT_TANK_MOST_MINUTES = 60;
/** Calibrations of a probe are due again after a month: common practice. */
export const CALIBRATION_DUE_MS = 30 * 86_400_000;
/** A session at a probe ends by itself. */
export const SESSION_MOST_MS = 3_600_000;
/** A session looks at the newest minute of a cell, and at the newest two of a thermometer. */
export const STEADY_CELL_MS = 60_000;
export const STEADY_THERMOMETER_MS = 120_000;
/**
 * It stands still when the means of the two halves differ by no more than this. By noise alone, with a sample a second:
 * a thermometer of 0.03 K in steps of 0.0625 K by 0.006 K, a cell of 0.2 % by 0.05 %, each the standard deviation. So a
 * quiet one is refused once in ten thousand looks; 0.05 K in the minute between the halves are the 3 K/h that no water
 * of its own accord exceeds. The floor is the last digit of common instruments.
 */
export const STEADY_K = 0.05;
export const STEADY_CELL_SHARE = 0.002;
export const STEADY_LEAST_MS_PER_CM = 0.01;
/** A single reading this far from their mean is another water, or none: five deviations of that noise and more. */
export const JUMP_K = 0.25;
export const JUMP_CELL_SHARE = 0.012;
export const JUMP_LEAST_MS_PER_CM = 0.05;
/** A cell that is clean, rinsed and dry reads next to nothing, mS/cm. */
export const DRY_MOST_MS_PER_CM = 0.3;
/** A change of the cell's factor beyond the first is repeated before it counts; beyond the second it is refused. */
export const FACTOR_REPEAT = 0.05;
export const FACTOR_REFUSED = 0.15;
/** Two readings of a standard, and two standards, must agree within this share. */
export const FACTORS_AGREE = 0.02;
/** Steps of less than fifteen percent lead anywhere: a cell is never this far from what its maker says. */
export const FACTOR_BETWEEN = [0.7, 1.4] as const;
/** A digital thermometer is never this wrong and well. */
export const OFFSET_MOST_K = 1.5;

/** No longer absence: after sixty days even a proof that was made on the day of leaving is overdue. */
export const ABSENCE_MOST_DAYS = 60;
/** No absence is told of earlier than this. */
export const ABSENCE_AHEAD_MOST_DAYS = 90;
export const ABSENCE_LEAST_HOURS = 1;

/** Empty with more than this share of a full reservoir left by the count: pump and keeper are never so far out. */
export const EARLY_EMPTY_SHARE = 1 / 3;
/** Long enough to carry a reservoir to the tap and back. */
export const EMPTY_JUDGED_MS = 15 * 60_000;
/** A return pump that stops must lift the working float within this time. */
export const FREE_PROOF_MS = 60_000;
