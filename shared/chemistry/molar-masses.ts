/** Molar masses [g/mol] from IUPAC's standard atomic weights of 2021, abridged: N 14.007, H 1.008, O 15.999, Cl 35.45.
 *  NH₄Cl is written with the older chlorine, 35.453, as chemists' labels still are; the difference is 4e-5 of a dose. */
export const MOLAR_MASS_N = 14.007;
export const MOLAR_MASS_NH3 = 17.031;
export const MOLAR_MASS_NH4 = 18.039;
export const MOLAR_MASS_NO2 = 46.005;
export const MOLAR_MASS_NO3 = 62.004;
export const MOLAR_MASS_NH4CL = 53.491;
export const MOLAR_MASS_O2 = 31.998;
