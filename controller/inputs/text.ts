/** A number as an instrument writes it, with a point or a comma; null = it is none. */
export function numberInText(written: string): number | null {
  const text = written.trim();
  if (!/^[+-]?(\d+([.,]\d*)?|[.,]\d+)([eE][+-]?\d{1,2})?$/.test(text)) return null;
  const value = Number(text.replace(",", "."));
  return Number.isFinite(value) ? value : null;
}
