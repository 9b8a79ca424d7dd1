import type { Why } from "./calculator.ts";

/** Where the numbers come from, each equation once. */
const cite = (equation: string, source: string, valid: string): Why => ({ equation, source, valid });

export const SEA_RANGE = "SP 0 to 42, −2 to 40 °C";

export const PSS78 = cite(
  "Practical Salinity Scale 1978",
  "UNESCO Technical Papers in Marine Science 44 (1983), below SP 2 Hill et al. 1986 joined as in TEOS-10",
  "for SP 0 to 42, −2 to 35 °C, extrapolated to 40 °C, 0 to 10000 dbar",
);
export const STANDARD_SALT = cite(
  "Reference-composition salinity",
  "Millero et al. 2008; TEOS-10 manual, SA = SP × 35.16504/35",
  "for the composition of standard sea water; a synthetic salt may differ by 0.5 %",
);
export const TEOS10 = cite(
  "TEOS-10 Gibbs function at the surface",
  "IAPWS-08 on the water of IAPWS-09 (Feistel 2008 and 2003)",
  SEA_RANGE,
);
export const EOS80 = cite(
  "EOS-80 at one atmosphere",
  "Millero & Poisson 1981; UNESCO Technical Papers in Marine Science 44 (1983)",
  SEA_RANGE,
);
export const GUM = cite("Uncertainty in quadrature, k = 2", "JCGM 100:2008 (GUM)", "for independent sources");
export const COMPENSATION = cite(
  "Linear compensation undone",
  "ISO 7888:1985 (from memory)",
  "for an instrument that compensates linearly, 0 to 10 %/K",
);
export const CLEGG_WHITFIELD = cite(
  "pKa of ammonium, total pH scale",
  "Clegg & Whitfield 1995, eq. 18",
  "for SP 0 to 40, −2 to 40 °C, within 5 %",
);
export const JOHANSSON_WEDBORG = cite(
  "pKa of ammonium, pH of a meter set in NBS buffers",
  "Johansson & Wedborg 1980 as given by Bell et al. 2007 (attribution and scale from memory)",
  "for SP 0 to 42, measured 5 to 25 °C, a straight line beyond",
);
export const MOLAR_MASSES = cite("Molar masses", "IUPAC standard atomic weights", "for any amount");
export const STOICHIOMETRY = cite(
  "Stoichiometry of nitrification with growth",
  "Ebeling, Timmons & Bisogni 2006 (figures from memory)",
  "for complete nitrification",
);
export const KINETICS = cite(
  "Two-step nitrification (Monod, with oxygen and free ammonia)",
  "Sin et al. 2008, Vannecke & Volcke 2015, Park & Bae 2009; growth set to common practice in sea water",
  "5 to 40 °C, as a rough story of days and not a promise",
);
export const BENSON_KRAUSE = cite(
  "Oxygen at saturation, mg/L",
  "Benson & Krause 1984",
  "SP 0 to 42, 0 to 40 °C, moist air at 101.325 kPa",
);
export const GARCIA_GORDON = cite(
  "Oxygen at saturation, µmol/kg",
  "Garcia & Gordon 1992, column of Benson & Krause",
  "SP 0 to 42, −2 to 40 °C, moist air at 101.325 kPa",
);
export const MASS_BALANCE = cite("Conservation of mass", "arithmetic", "for water that is well mixed");
export const POOL = cite("Pool formula", "ASHRAE Handbook, times 0.6 for an undisturbed surface", "as a band");
export const SHAH = cite("Natural convection", "Shah 2012 (constants from memory)", "for still air, as a band");
export const PENMAN = cite("Aerodynamic term", "Penman 1948", "for open country; high in a room");
export const MAGNUS = cite("Vapour pressure of water", "Magnus form, Alduchov & Eskridge 1996", "−2 to 40 °C");
export const MEMBRANE = cite(
  "Flow of a membrane",
  "makers' design guides: net driving pressure and temperature correction (constants from memory)",
  "0 to 45 °C",
);
export const TDS_FACTOR = cite(
  "Dissolved solids = factor × conductivity at 25 °C",
  "common practice",
  "as good as its factor",
);
export const GEOMETRY = cite(
  "Geometry and densities",
  "glass 2500 kg/m³, aragonite 2.8 kg/L; common practice",
  "for a glass box",
);
export const IEC60751 = cite("Platinum resistance", "IEC 60751", "−200 to 850 °C");
export const STEINHART_HART = cite(
  "Steinhart–Hart",
  "Steinhart & Hart 1968",
  "inside the span that the coefficients were fitted to",
);
export const BETA = cite(
  "Two-constant law of a thermistor",
  "common practice of data sheets",
  "to 0.1…0.5 K over 0 to 50 °C",
);
export const DS18B20 = cite(
  "Scratchpad of a DS18B20",
  "its data sheet (from memory); Maxim application note 27",
  "−55 to 125 °C",
);
export const CELL = cite(
  "Conductivity = cell constant × conductance",
  "definition",
  "for a cell that is clean and clear of walls",
);
export const UNITS = cite("Conversion of units", "definitions of the units, exact", "for any amount");
