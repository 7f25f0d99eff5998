// Refusals of documents of UBL that are sent.

/** By code: the kind, what it means and what the caller can do. */
export const UBL_REFUSALS = {
  XML_UNREADABLE: [
    'INVALID_INPUT',
    'The document is no XML that is read here.',
    'Send one well-formed document in UTF-8, without a DOCTYPE, and with no entities but the five of XML.',
  ],
  NOT_AN_ORDER: [
    'INVALID_INPUT',
    'The document is no Order of UBL 2.',
    'Send a document whose root is Order in the namespace urn:oasis:names:specification:ubl:schema:xsd:Order-2.',
  ],
  UNIT_NOT_SERVED: [
    'INVALID_INPUT',
    'The quantity is in a unit in which beer is not ordered.',
    'Order whole containers of a pack, with the unit code C62.',
  ],
  WISH_NOT_SERVED: [
    'INVALID_INPUT',
    'The document asks for something that can not be done so.',
    'Leave that element out, or order what you want in another way, as the message says.',
  ],
} as const
