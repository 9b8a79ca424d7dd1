/** The answer to a value that is out of range: null. It is a call, and not the bare word, for the sake of speed: as long
 *  as nothing was refused the compiler leaves no room for null beside the number, and the number stays off the heap. */
export const refused = (): null => null;
