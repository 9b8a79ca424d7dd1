/** Where every litre, gram and joule of the tank came from and went to. Kept apart from the state, to be held against it. */
export interface Accounts {
  pouredL: number;
  pouredG: number;
  handsInL: number;
  handsInG: number;
  handsOutL: number;
  handsOutG: number;
  evaporatedL: number;
  overRimL: number;
  overRimG: number;
  leakedL: number;
  leakedG: number;
  saltLostG: number;
  /** Out of the tube: water that was never in the tank. */
  tubeSpilledL: number;
  heaterJ: number;
  returnPumpJ: number;
  lampJ: number;
  roomJ: number;
  latentJ: number;
  /** Carried by water that came less water that went. */
  carriedJ: number;
  /** Nitrogen as N: fed or dosed, and gone with water. */
  nitrogenInMg: number;
  nitrogenOutMg: number;
  heaterOnS: number;
  heaterDryS: number;
}

export const createAccounts = (): Accounts => ({
  pouredL: 0,
  pouredG: 0,
  handsInL: 0,
  handsInG: 0,
  handsOutL: 0,
  handsOutG: 0,
  evaporatedL: 0,
  overRimL: 0,
  overRimG: 0,
  leakedL: 0,
  leakedG: 0,
  saltLostG: 0,
  tubeSpilledL: 0,
  heaterJ: 0,
  returnPumpJ: 0,
  lampJ: 0,
  roomJ: 0,
  latentJ: 0,
  carriedJ: 0,
  nitrogenInMg: 0,
  nitrogenOutMg: 0,
  heaterOnS: 0,
  heaterDryS: 0,
});
