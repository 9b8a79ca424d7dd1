import type { BoardState } from "./image.ts";

/** Every reason a decision can give, in a sentence that a tired person understands at three in the morning. */
export const REASONS = {
  // Top-off: what it is doing
  "water-at-mark": "The water stands at its mark.",
  "low-confirming": "The water looks low; waiting to be sure that it is not a ripple.",
  "waiting-for-disk": "A pour is due; waiting until its litres are safely noted on disk.",
  "pouring-low": "The water is low; pouring fresh water.",
  "letting-settle": "Poured a little; letting the water settle before looking again.",
  "resting-after-pour": "Resting between pours.",
  "proving-pump": "Proving: the pump runs for a moment while somebody watches.",
  // Top-off: what stands in its way
  starting: "Just started; watching the inputs before anything is trusted.",
  "top-off-starting": "Just started; top-off waits ten minutes until everything has been steady.",
  hold: "Hands are in the tank: pouring is stopped until the hold ends.",
  "hold-question":
    "The hold is over and the water does not surely stand at its mark. Say whether salt water was taken out or it is evaporation.",
  "high-float-wet": "The water reaches the high float.",
  "high-float-unknown": "The high float cannot be trusted.",
  "working-float-unknown": "The working float cannot be trusted.",
  "floor-wet": "There is water on the floor.",
  "floor-sensor-unknown": "The floor sensor cannot be trusted.",
  "floats-contradict": "The floats contradict each other.",
  "reservoir-empty": "The reservoir is empty.",
  "reservoir-float-unknown": "The reservoir float cannot be trusted.",
  "return-pump-stopped": "The return pump is not shown running, so the level says nothing.",
  "return-pump-settling": "The return pump has just stopped or started; waiting for the level to settle.",
  "pump-being-proven":
    "The pump is being proven: nothing else is poured until its run is judged, or ten minutes have passed.",
  "mains-lost": "The mains power is off.",
  "board-silent": "The input and output board does not report.",
  "nobody-beside":
    "Nobody is known to stand beside the box, and nothing else would switch off when this computer dies: all outputs stay off.",
  "pump-locked-by-guard":
    "The guard firmware has locked the pump: it ran longer than it may. Find out why, then unplug the board for a minute.",
  "daily-budget-used": "Today's litres are used up.",
  "excess-litres": "More water was poured than can have evaporated. Measure the salinity by hand.",
  "pour-too-long": "A pour ran longer than it ever may.",
  "not-answered": "Water was poured but the level did not answer.",
  "failed-pours": "Several pours in a row changed nothing.",
  "unordered-water":
    "Water arrived that nobody ordered. Lift the tube out of the tank and do not refill the reservoir.",
  "emptied-early":
    "The reservoir is empty long before its litres can have been used. Lift the tube out of the tank, look for the water, and do not refill yet.",
  "pump-seen-on": "The top-off pump is powered although it was switched off.",
  "memory-lost":
    "Nothing is known of litres poured before: so it is at a first start, and when the memory was lost. Measure the salinity, then clear the lock.",
  "working-float-stuck":
    "The return pump is shown stopped and the working float did not rise: it is stuck low, or the pump's sensor is wrong.",
  "salinity-falling": "Salinity is falling after pours that evaporation does not explain.",
  "disk-failed": "The disk does not take notes, so no further litres may be poured.",
  "not-proven": "It has not been seen to work yet: prove it at the tank first.",
  // Heat: what it is doing
  "temperature-in-band": "The temperature is inside its band.",
  "below-band": "The water is below its band; heating.",
  "above-band": "The water is warm enough; heater off.",
  "minimum-on": "The heater stays on for its minimum time.",
  "minimum-off": "The heater stays off for its minimum time.",
  "cautious-heating": "The temperature is doubtful; heating carefully, part of the time.",
  "cautious-pause": "The temperature is doubtful; the heater pauses between careful spells.",
  "one-contact-heating":
    "One of the heater's two contacts does not open any more; heating carefully by the other, part of the time.",
  "one-contact-pause":
    "One of the heater's two contacts does not open any more; a long pause before the other one closes again.",
  "off-not-confirmed":
    "One of the heater's two contacts does not open any more; waiting until it is sure that the other one did.",
  "no-careful-share":
    "The temperature is doubtful and last week needed no heat, so careful heating has no share of the time: a person must look.",
  "other-heaters-turn": "The other heater has its turn; this one joins it if the water does not grow warm enough.",
  "proving-heater": "Proving: the heater runs for a moment while somebody watches.",
  "slope-check": "The heater was on for long; pausing to see whether the water follows it.",
  // Heat: what stands in its way
  "no-temperature": "No thermometer can be trusted, so the heater stays off.",
  "heat-cut-out": "The water is too hot; heater and heat guard are open.",
  "hot-not-disproved":
    "A thermometer read too hot and nothing has disproved it since; the heater waits until the water is surely cool.",
  "hold-with-heat": "Hands are in the tank: the heater is off until the hold ends.",
  "heater-no-effect": "The heater was on for an hour and the water did not follow.",
  "heating-while-off": "The water warms although the heater is off.",
  "warming-by-room":
    "The water warms although the heater is off, as a warm room or a lamp would do it; the heater's second switch is open to be sure.",
  "heater-welded": "The heater's relay does not open any more.",
  "heater-seen-on": "The heater is powered although it was switched off.",
  "heater-uncovered": "The heater may not be covered with water.",
  "no-flow": "The return pump is not shown running; the heater would warm only its own chamber.",
  "heat-starting": "Just started; the heater waits until temperature and flow are shown.",
} as const;

export type Reason = keyof typeof REASONS;

/** Why nothing is energised while the board is not ready. */
export const BOARD_REASONS = {
  silent: "board-silent",
  restarted: "board-silent",
  unattended: "nobody-beside",
} as const satisfies Record<Exclude<BoardState, "ready">, Reason>;
