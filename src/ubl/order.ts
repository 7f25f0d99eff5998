// An Order of UBL 2 as Fillwright takes it. What is not named here is read over; what would change what is served, and cannot be
// done so, is refused.
import { all, ElementReader, type UblFault } from './faults.ts'
import { ORDER } from './namespaces.ts'
import { type Asked, readDelivery } from './order-delivery.ts'
import { readOrderLine, type UblOrderLine } from './order-line.ts'
import { isCalled, nameOf, pathOf, readXml, type XmlElement, XmlFault } from './read-xml.ts'

/** An order as its document has it. */
export interface UblOrder {
  /** The buyer's number of the order: its reference. */
  reference: string
  /** The reference of the account that orders. */
  account: string
  /** What the notes of the order and of its lines say. Absent: nothing. */
  note?: string
  lines: UblOrderLine[]
  /** Where the parts of the order stand in the document. */
  paths: Record<'reference' | 'account' | 'note', string>
}

/** What was read, or all that is wrong; `unreadable` says why nothing could be read at all. */
export type ReadOrder =
  | { order: UblOrder }
  | { faults: readonly [UblFault, ...UblFault[]] }
  | { unreadable: 'XML_UNREADABLE' | 'NOT_AN_ORDER'; message: string }

/** Types of documents that order beer for a day (UN/EDIFACT 1001, from memory): 105 a purchase order, 220 an order, 224 one in a hurry. */
const ORDINARY: ReadonlySet<string> = new Set(['105', '220', '224'])

/** Reads an order of at most so many lines from the bytes of its document. */
export function readUblOrder(bytes: Uint8Array, mostLines: number): ReadOrder {
  let root: XmlElement
  try {
    root = readXml(bytes)
  } catch (error) {
    if (error instanceof XmlFault)
      return { unreadable: 'XML_UNREADABLE', message: `The document cannot be read: ${error.message}.` }
    throw error
  }
  if (!isCalled(root, ORDER, 'Order'))
    return { unreadable: 'NOT_AN_ORDER', message: `The document is ${nameOf(root)}, not an Order of ${ORDER}.` }
  const reader = new ElementReader()
  const order = orderOf(reader, root, mostLines)
  const [first, ...others] = reader.faults
  return first ? { faults: [first, ...others] } : { order }
}

function orderOf(reader: ElementReader, root: XmlElement, mostLines: number): UblOrder {
  const reference = reader.neededText(root, ['cbc:ID'], 'the number of the order')
  const buyer = buyerOf(reader, root)
  const type = reader.one(root, 'cbc:OrderTypeCode')
  if (type && !ORDINARY.has(type.text))
    reader.note(
      pathOf(type),
      'WISH_NOT_SERVED',
      `orders of the type "${type.text}" are not taken, only plain ones (220)`,
    )
  const delivery = readDelivery(reader, root)
  const lines = all(root, 'cac:OrderLine').slice(0, mostLines)
  const oneTooMany = all(root, 'cac:OrderLine')[mostLines]
  if (oneTooMany) reader.note(pathOf(oneTooMany), 'BAD_LENGTH', `an order has at most ${mostLines} lines`)
  if (lines.length === 0) reader.note(`${pathOf(root)}/cac:OrderLine`, 'MISSING_VALUE', 'the order has no line')
  const read = lines.map((line) => readOrderLine(reader, line, { reference, delivery }))
  for (const asked of [delivery, ...read.map((line) => line.delivery)]) checkPlace(reader, asked, buyer.account)
  const notes = [...all(root, 'cbc:Note').map(({ text }) => text), ...read.flatMap((line) => line.notes)]
  const note = notes.filter((text) => text !== '').join('\n')
  const paths = { reference: `${pathOf(root)}/cbc:ID`, account: buyer.path, note: `${pathOf(root)}/cbc:Note` }
  return {
    ...{ reference, account: buyer.account, lines: read.map(({ line }) => line), paths },
    ...(note === '' ? {} : { note }),
  }
}

/** The account that orders: by the number that the seller gave it, else by the buyer's identification, which may stand beside others of some scheme. */
function buyerOf(reader: ElementReader, root: XmlElement): { account: string; path: string } {
  const customer = reader.one(root, 'cac:BuyerCustomerParty')
  const assigned = reader.one(customer, 'cbc:SupplierAssignedAccountID')
  if (assigned?.text) return { account: assigned.text, path: pathOf(assigned) }
  const ids = all(reader.one(customer, 'cac:Party'), 'cac:PartyIdentification').flatMap((each) => all(each, 'cbc:ID'))
  const bare = ids.filter(({ attributes }) => !attributes.has('schemeID'))
  const [id, second] = ids.length === 1 ? ids : bare
  const path = id ? pathOf(id) : `${pathOf(root)}/cac:BuyerCustomerParty/cac:Party/cac:PartyIdentification/cbc:ID`
  if (!id?.text) reader.note(path, 'MISSING_VALUE', 'the reference of the account that orders is missing')
  if (second)
    reader.note(
      pathOf(second),
      'BAD_LENGTH',
      'more than one identification without a schemeID: it is not clear which names the account',
    )
  return { account: id?.text ?? '', path }
}

/** Beer goes to the account that orders it, and nowhere else. */
function checkPlace(reader: ElementReader, { place }: Asked, account: string): void {
  if (place && account !== '' && place.text !== account)
    reader.note(
      pathOf(place),
      'WISH_NOT_SERVED',
      `beer goes to the account that orders, "${account}", and not to "${place.text}"; order in the name of the account that is to have it`,
    )
}
