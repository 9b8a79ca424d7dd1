/** Shown by the product itself, wherever somebody sets up, wires or starts it. */
export const CAUTIONS = [
  "Mains and salt water kill. Use residual-current protection, drip loops and certified appliances; unplug before hands go in; leave mains work to a licensed electrician under your local code.",
  "This is not a certified safety device. Keep the heater's own thermostat, a high float wired in series with the pump, and a reservoir no larger than the box can take.",
  "Water is heavy. Evenbrine adds weights up and never says that a floor is safe: ask a structural engineer.",
  "Ammonium chloride, dry salt and epoxy harm eyes and skin: keep them from children, never mix them with bleach, and keep no animals in the tank while dosing.",
  "Some corals carry palytoxin: gloves and eye protection, and never boil or scrub the rock they sit on.",
  "Water from reverse osmosis and deionisation is not for drinking.",
] as const;
