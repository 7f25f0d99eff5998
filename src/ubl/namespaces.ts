// The namespaces of UBL 2 documents, and the prefixes by which paths name elements. They are the same from UBL 2.0 to 2.4.

const OF_UBL = 'urn:oasis:names:specification:ubl:schema:xsd:'

export const ORDER = `${OF_UBL}Order-2`
export const DESPATCH_ADVICE = `${OF_UBL}DespatchAdvice-2`
/** Elements that hold others. */
export const AGGREGATES = `${OF_UBL}CommonAggregateComponents-2`
/** Elements that hold a value. */
export const BASICS = `${OF_UBL}CommonBasicComponents-2`

/** The prefixes that the standard's own examples use. What a document calls them does not matter. */
export const PREFIXES: ReadonlyMap<string, string> = new Map([
  [ORDER, ''],
  [DESPATCH_ADVICE, ''],
  [AGGREGATES, 'cac:'],
  [BASICS, 'cbc:'],
])
