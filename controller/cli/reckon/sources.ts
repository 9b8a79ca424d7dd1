import type { Why } from "./calculator.ts";

/** Where the numbers come from, each equation once. */
const why = (equation: string, source: string, valid: string): Why => ({ equation, source, valid });

export const SEA_RANGE = "SP 0 to 42, −2 to 40 °C";

export const PSS78 = why(
  "Practical Salinity Scale 1978",
  "UNESCO Technical Papers in Marine Science 44 (1983), below SP 2 Hill et al. 1986 joined as in TEOS-10",
  "for SP 0 to 42, −2 to 35 °C, extrapolated to 40 °C, 0 to 10000 dbar",
);
export const STANDARD_SALT = why(
  "Reference-composition salinity",
  "Millero et al. 2008; TEOS-10 manual, SA = SP × 35.16504/35",
  "for the composition of standard sea water; a synthetic salt may differ by 0.5 %",
);
export const TEOS10 = why(
  "TEOS-10 Gibbs function at the surface",
  "IAPWS-08 on the water of IAPWS-09 (Feistel 2008 and 2003)",
  SEA_RANGE,
);
export const EOS80 = why(
  "EOS-80 at one atmosphere",
  "Millero & Poisson 1981; UNESCO Technical Papers in Marine Science 44 (1983)",
  SEA_RANGE,
);
export const GUM = why("Uncertainty in quadrature, k = 2", "JCGM 100:2008 (GUM)", "for independent sources");
export const COMPENSATION = why(
  "Linear compensation undone",
  "ISO 7888:1985 (from memory)",
  "for an instrument that compensates linearly, 0 to 10 %/K",
);
export const CLEGG_WHITFIELD = why(
  "pKa of ammonium, total pH scale",
  "Clegg & Whitfield 1995, eq. 18",
  "for SP 0 to 40, −2 to 40 °C, within 5 %",
);
export const JOHANSSON_WEDBORG = why(
  "pKa of ammonium, pH of a meter set in NBS buffers",
  "Johansson & Wedborg 1980 as given by Bell et al. 2007 (attribution and scale from memory)",
  "for SP 0 to 42, measured 5 to 25 °C, a straight line beyond",
);
export const MOLAR_MASSES = why("Molar masses", "IUPAC standard atomic weights", "for any amount");
export const STOICHIOMETRY = why(
  "Stoichiometry of nitrification with growth",
  "Ebeling, Timmons & Bisogni 2006 (figures from memory)",
  "for complete nitrification",
);
export const KINETICS = why(
  "Two-step nitrification (Monod, with oxygen and free ammonia)",
  "Sin et al. 2008, Vannecke & Volcke 2015, Park & Bae 2009; growth set to common practice in sea water",
  "5 to 40 °C, as a rough story of days and not a promise",
);
export const BENSON_KRAUSE = why(
  "Oxygen at saturation, mg/L",
  "Benson & Krause 1984",
  "SP 0 to 42, 0 to 40 °C, moist air at 101.325 kPa",
);
export const GARCIA_GORDON = why(
  "Oxygen at saturation, µmol/kg",
  "Garcia & Gordon 1992, column of Benson & Krause",
  "SP 0 to 42, −2 to 40 °C, moist air at 101.325 kPa",
);
export const MASS_BALANCE = why("Conservation of mass", "arithmetic", "for water that is well mixed");
export const POOL = why("Pool formula", "ASHRAE Handbook, times 0.6 for an undisturbed surface", "as a band");
export const SHAH = why("Natural convection", "Shah 2012 (constants from memory)", "for still air, as a band");
export const PENMAN = why("Aerodynamic term", "Penman 1948", "for open country; high in a room");
export const MAGNUS = why("Vapour pressure of water", "Magnus form, Alduchov & Eskridge 1996", "−2 to 40 °C");
export const MEMBRANE = why(
  "Flow of a membrane",
  "makers' design guides: net driving pressure and temperature correction (constants from memory)",
  "0 to 45 °C",
);
export const TDS_FACTOR = why(
  "Dissolved solids = factor × conductivity at 25 °C",
  "common practice",
  "as good as its factor",
);
export const GEOMETRY = why(
  "Geometry and densities",
  "glass 2500 kg/m³, aragonite 2.8 kg/L; common practice",
  "for a glass box",
);
export const IEC60751 = why("Platinum resistance", "IEC 60751", "−200 to 850 °C");
export const STEINHART_HART = why(
  "Steinhart–Hart",
  "Steinhart & Hart 1968",
  "inside the span that the coefficients were fitted to",
);
export const BETA = why(
  "Two-constant law of a thermistor",
  "common practice of data sheets",
  "to 0.1…0.5 K over 0 to 50 °C",
);
export const DS18B20 = why(
  "Scratchpad of a DS18B20",
  "its data sheet (from memory); Maxim application note 27",
  "−55 to 125 °C",
);
export const CELL = why(
  "Conductivity = cell constant × conductance",
  "definition",
  "for a cell that is clean and clear of walls",
);
export const UNITS = why("Conversion of units", "definitions of the units, exact", "for any amount");
