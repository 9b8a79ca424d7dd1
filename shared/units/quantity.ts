declare const unit: unique symbol;

/** A number that knows its unit while the program is compiled, and is a plain number while it runs.
 *  Only the maker of a unit (`celsius(25)`, `litres(140)`) turns a bare number into a quantity. */
export type Quantity<U extends string> = number & { readonly [unit]: U };
