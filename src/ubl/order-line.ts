// A line of an Order of UBL 2: so many whole containers of one pack, by a day.
import type { LocalDate } from '../planner/documents/index.ts'
import { all, type ElementReader } from './faults.ts'
import { type Asked, readDelivery } from './order-delivery.ts'
import { pathOf, type XmlElement } from './read-xml.ts'

/** A line as its document has it. */
export interface UblOrderLine {
  /** The number of the line, behind the order's: lines of all orders have references of their own. */
  reference: string
  /** The reference of the pack. */
  pack: string
  /** Whole containers. */
  quantity: number
  /** The last day on which it may arrive as requested. */
  deliverBy: LocalDate
  /** The last day on which it is still wanted. Absent: it is wanted whenever it comes. */
  deliverLatest?: LocalDate
  /** Whether it may come in two deliveries. Absent: the document does not say. */
  splittable?: boolean
  /** Where the parts of the line stand in the document. */
  paths: Record<keyof Omit<UblOrderLine, 'paths'> | 'line', string>
}

/** Between the number of the order and that of the line, in the line's reference. */
export const LINE_MARK = '/'

/** Codes of UN/ECE Recommendation 20 that count things: one, piece, each; and of Recommendation 21 (from memory): cask, keg. */
const COUNTING: ReadonlySet<string> = new Set(['C62', 'H87', 'EA', 'XCK', 'XKG'])

/** What lines are not to be served at all, as the standard's list of line statuses has it. */
const NOT_WANTED: ReadonlySet<string> = new Set(['Cancelled', 'Disputed'])

const OTHER_QUANTITIES = [
  'cbc:MinimumQuantity',
  'cbc:MaximumQuantity',
  'cbc:MinimumBackorderQuantity',
  'cbc:MaximumBackorderQuantity',
] as const

/** Reads a line, of the order of that number; its own delivery goes before the order's. */
export function readOrderLine(
  reader: ElementReader,
  orderLine: XmlElement,
  order: { reference: string; delivery: Asked },
): { line: UblOrderLine; notes: string[]; delivery: Asked } {
  const item = reader.one(orderLine, 'cac:LineItem')
  if (!item) reader.note(`${pathOf(orderLine)}/cac:LineItem`, 'MISSING_VALUE', 'the line has no item')
  const holder = item ?? orderLine
  refuseWishes(reader, holder)
  const number = item ? reader.neededText(item, ['cbc:ID'], 'the number of the line') : ''
  const way = ['cac:Item', 'cac:SellersItemIdentification', 'cbc:ID']
  const pack = item ? reader.neededText(item, way, 'the reference of the pack') : ''
  const own = readDelivery(reader, holder)
  const { by, path, latest, latestPath } = own.by === undefined ? order.delivery : own
  if (by === undefined)
    reader.note(own.path, 'MISSING_VALUE', 'neither the line nor the order says by when it is to be delivered')
  const splittable = indicator(reader, holder, 'cbc:PartialDeliveryIndicator')
  const at = pathOf(holder)
  const line: UblOrderLine = {
    ...{ reference: `${order.reference}${LINE_MARK}${number}`, pack, deliverBy: by ?? '' },
    quantity: quantityOf(reader, holder),
    ...(latest === undefined ? {} : { deliverLatest: latest }),
    ...(splittable === undefined ? {} : { splittable }),
    paths: {
      ...{ line: at, reference: `${at}/cbc:ID`, pack: `${at}/${way.join('/')}`, quantity: `${at}/cbc:Quantity` },
      ...{ deliverBy: path, deliverLatest: latestPath, splittable: `${at}/cbc:PartialDeliveryIndicator` },
    },
  }
  const notes = [...all(orderLine, 'cbc:Note'), ...all(item, 'cbc:Note')].flatMap(({ text }) =>
    text === '' ? [] : [`Line ${number}: ${text}`],
  )
  return { line, notes, delivery: own }
}

/** Whole containers, at least one; 1 stands in for what is wrong. */
function quantityOf(reader: ElementReader, item: XmlElement): number {
  const quantity = reader.one(item, 'cbc:Quantity')
  if (!quantity) {
    reader.note(`${pathOf(item)}/cbc:Quantity`, 'MISSING_VALUE', 'how many containers is missing')
    return 1
  }
  const unit = quantity.attributes.get('unitCode')
  if (unit !== undefined && !COUNTING.has(unit))
    reader.note(
      pathOf(quantity),
      'UNIT_NOT_SERVED',
      `beer is ordered in whole containers (unitCode C62), not in the unit "${unit.slice(0, 40)}"`,
    )
  if (/^\d{1,9}(\.0*)?$/.test(quantity.text) && Number(quantity.text) > 0) return Number(quantity.text)
  reader.note(pathOf(quantity), 'NOT_WHOLE', `"${quantity.text.slice(0, 40)}" is no whole number of containers above 0`)
  return 1
}

/** What would change what is served, and cannot be done so. */
function refuseWishes(reader: ElementReader, item: XmlElement): void {
  const quantity = all(item, 'cbc:Quantity')[0]?.text ?? ''
  for (const name of OTHER_QUANTITIES)
    for (const other of all(item, name))
      if (Number(other.text) !== Number(quantity))
        reader.note(
          pathOf(other),
          'WISH_NOT_SERVED',
          'a line is served with its quantity or not at all; leave the other quantity out',
        )
  for (const part of all(item, 'cac:SubLineItem'))
    reader.note(pathOf(part), 'WISH_NOT_SERVED', 'a line has no lines within it; order each as a line of its own')
  const status = reader.one(item, 'cbc:LineStatusCode')
  if (status && NOT_WANTED.has(status.text))
    reader.note(
      pathOf(status),
      'WISH_NOT_SERVED',
      `a line that is ${status.text.toLowerCase()} is not ordered; leave the line out`,
    )
}

function indicator(reader: ElementReader, item: XmlElement, name: string): boolean | undefined {
  const element = reader.one(item, name)
  if (!element) return undefined
  if (['true', '1'].includes(element.text)) return true
  if (!['false', '0'].includes(element.text))
    reader.note(pathOf(element), 'UNKNOWN_CHOICE', `"${element.text.slice(0, 40)}" is neither true nor false`)
  return false
}
