/** The plant's own chance: the same seed gives the same noise on every machine, so a run can be repeated to the byte. */
export interface Random {
  /** 0 ≤ x < 1. */
  uniform(): number;
  /** Mean 0, standard deviation 1: four uniforms in sum, so it never strays beyond ±3.5. */
  normal(): number;
}

/** Small fast counting generator of 32 bits (sfc32, Doty-Humphrey's PractRand, public domain), after 12 idle rounds. */
export function createRandom(seed: number): Random {
  const state = new Int32Array([seed | 0, Math.floor(seed / 4_294_967_296) | 0, 0x9e3779b9 | 0, 1]);
  const draw = () => nextInteger(state);
  for (let round = 0; round < 12; round++) draw();
  return { uniform: () => (draw() >>> 0) / 4_294_967_296, normal: () => sumOfFour(draw(), draw()) };
}

function nextInteger(state: Int32Array): number {
  const a = state[0] as number;
  const b = state[1] as number;
  const c = state[2] as number;
  const counter = state[3] as number;
  const drawn = (a + b + counter) | 0;
  state[3] = counter + 1;
  state[0] = b ^ (b >>> 9);
  state[1] = c + (c << 3);
  state[2] = ((c << 21) | (c >>> 11)) + drawn;
  return drawn;
}

/** Four 16-bit uniforms have a variance of 4/12 together. */
function sumOfFour(first: number, second: number): number {
  const sum = (first & 0xffff) + (first >>> 16) + (second & 0xffff) + (second >>> 16);
  return (sum / 65_536 - 2 + 2 / 65_536) * Math.sqrt(3);
}
