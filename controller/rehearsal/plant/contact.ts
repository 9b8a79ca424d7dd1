/** The contact of a relay or of a guard: it follows its command unless it is welded or dead. */
export interface Contact {
  commanded: boolean;
  welded: boolean;
  dead: boolean;
}

export const createContact = (): Contact => ({ commanded: false, welded: false, dead: false });

export const closed = (contact: Contact): boolean => contact.welded || (contact.commanded && !contact.dead);
