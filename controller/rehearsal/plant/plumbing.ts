/** Reservoir, top-off pump, tube. What leaves the tube end in a step is left in `outL` for whoever catches it. */
export interface Plumbing {
  reservoirL: number;
  reservoirSaltG: number;
  readonly reservoirFullL: number;
  readonly reservoirRimL: number;
  readonly flowLPerS: number;
  /** Fraction of the flow that a worn pump has left. */
  strength: number;
  /** What the tube holds, and what still runs out of it after the pump has stopped. */
  readonly tubeHoldsL: number;
  readonly coastL: number;
  tubeL: number;
  coastLeftL: number;
  wasPowered: boolean;
  /** Flow of the siphon that the next pump stop would start, then of the one that runs. */
  siphonArmedLPerS: number;
  siphonLPerS: number;
  tubeOff: boolean;
  dryS: number;
  outL: number;
  outSaltG: number;
}

/** Two thirds of what a tube holds coast on, the rest runs back; the first fill of the default tube takes 1.2 s (*common
 *  practice*, trade facts §10). */
const TUBE_IN_COASTS = 1.5;
const RIM_SHARE = 1.05;
const BACK_L_PER_S = 0.01;

export interface PlumbingStart {
  readonly flowLPerMin: number;
  readonly coastL: number;
  readonly fullL: number;
  readonly reservoirL: number;
}

export function createPlumbing({ flowLPerMin, coastL, fullL, reservoirL }: PlumbingStart): Plumbing {
  return {
    reservoirL,
    reservoirSaltG: 0,
    reservoirFullL: fullL,
    reservoirRimL: fullL * RIM_SHARE,
    flowLPerS: flowLPerMin / 60,
    strength: 1,
    tubeHoldsL: TUBE_IN_COASTS * coastL,
    coastL,
    tubeL: 0,
    coastLeftL: 0,
    wasPowered: false,
    siphonArmedLPerS: 0,
    siphonLPerS: 0,
    tubeOff: false,
    dryS: 0,
    outL: 0,
    outSaltG: 0,
  };
}

export function runPlumbing(plumbing: Plumbing, powered: boolean, dtS: number): void {
  plumbing.outL = 0;
  plumbing.outSaltG = 0;
  if (powered) pumpWater(plumbing, dtS);
  else if (plumbing.wasPowered) startCoast(plumbing);
  else if (plumbing.tubeL > 0 || plumbing.siphonLPerS > 0) runOut(plumbing, dtS);
  plumbing.wasPowered = powered;
}

function pumpWater(plumbing: Plumbing, dtS: number): void {
  const wantedL = plumbing.flowLPerS * plumbing.strength * dtS;
  const drawnL = Math.min(wantedL, plumbing.reservoirL);
  if (drawnL < wantedL) plumbing.dryS += dtS;
  plumbing.reservoirL -= drawnL;
  plumbing.tubeL += drawnL;
  const outL = Math.max(0, plumbing.tubeL - plumbing.tubeHoldsL);
  plumbing.tubeL -= outL;
  letOut(plumbing, outL);
}

function startCoast(plumbing: Plumbing): void {
  plumbing.coastLeftL = Math.min(plumbing.tubeL, plumbing.coastL);
  plumbing.siphonLPerS = plumbing.tubeL > 0 ? plumbing.siphonArmedLPerS : 0;
}

function runOut(plumbing: Plumbing, dtS: number): void {
  if (plumbing.siphonLPerS > 0) {
    const drawnL = Math.min(plumbing.siphonLPerS * dtS, plumbing.reservoirL);
    plumbing.reservoirL -= drawnL;
    letOut(plumbing, drawnL);
    // An empty reservoir lets air into the tube, and the siphon is over.
    if (plumbing.reservoirL <= 0) plumbing.siphonLPerS = 0;
  } else if (plumbing.coastLeftL > 0) {
    const outL = Math.min(plumbing.coastLeftL, plumbing.flowLPerS * dtS);
    plumbing.coastLeftL -= outL;
    plumbing.tubeL -= outL;
    letOut(plumbing, outL);
  } else {
    const backL = Math.min(plumbing.tubeL, BACK_L_PER_S * dtS);
    plumbing.tubeL -= backL;
    plumbing.reservoirL += backL;
  }
}

/** Water that has left the reservoir and the tube takes its share of their salt along. */
function letOut(plumbing: Plumbing, outL: number): void {
  plumbing.outL = outL;
  if (plumbing.reservoirSaltG <= 0 || outL <= 0) return;
  plumbing.outSaltG = (plumbing.reservoirSaltG * outL) / (plumbing.reservoirL + plumbing.tubeL + outL);
  plumbing.reservoirSaltG -= plumbing.outSaltG;
}
