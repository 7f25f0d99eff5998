// By when an order, or one of its lines, is to be delivered. UBL knows days of delivery; on which day the beer is served follows
// from them, since it has to settle first.
import { type LocalDate, localDate } from '../planner/documents/index.ts'
import { all, type ElementReader } from './faults.ts'
import { pathOf, type XmlElement } from './read-xml.ts'

/** When and where something is to be delivered. */
export interface Asked {
  /** The last day of the requested period. */
  by: LocalDate | undefined
  /** The last day on which it is still wanted. */
  latest: LocalDate | undefined
  /** The element that names the place. */
  place: XmlElement | undefined
  /** Where `by` stands, or is missing. */
  path: string
  /** Where `latest` stands, or would. */
  latestPath: string
}

/** Reads the delivery of an order or of a line item. */
export function readDelivery(reader: ElementReader, holder: XmlElement): Asked {
  const [delivery, second] = all(holder, 'cac:Delivery')
  if (second)
    reader.note(pathOf(second), 'WISH_NOT_SERVED', 'what is to come in several deliveries is ordered in several lines')
  const at = delivery ? pathOf(delivery) : `${pathOf(holder)}/cac:Delivery`
  const period = reader.one(delivery, 'cac:RequestedDeliveryPeriod')
  const [starts, ends] = [reader.one(period, 'cbc:StartDate'), reader.one(period, 'cbc:EndDate')]
  const last = reader.one(delivery, 'cbc:LatestDeliveryDate')
  const [start, end, latest] = [dayIn(reader, starts), dayIn(reader, ends), dayIn(reader, last)]
  if (ends && start !== undefined && end !== undefined && end < start)
    reader.note(pathOf(ends), 'SPAN_REVERSED', `${end} is before ${start}`)
  const said = ends ?? starts ?? last
  return {
    by: end ?? start ?? latest,
    latest,
    place: reader.at(delivery, 'cac:DeliveryLocation', 'cbc:ID'),
    path: said ? pathOf(said) : `${at}/cac:RequestedDeliveryPeriod/cbc:EndDate`,
    latestPath: `${at}/cbc:LatestDeliveryDate`,
  }
}

/** A date of XML Schema; an offset behind it is read over: the day is the one that a calendar at the account shows. */
function dayIn(reader: ElementReader, element: XmlElement | undefined): LocalDate | undefined {
  if (!element) return undefined
  const day = localDate.safeParse(element.text.replace(/(Z|[+-]\d\d:\d\d)$/, ''))
  if (day.success) return day.data
  reader.note(pathOf(element), 'NO_SUCH_DATE', `"${element.text.slice(0, 40)}" is no date`)
  return undefined
}
