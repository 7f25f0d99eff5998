// Documents that are sent beside GraphQL, made to be a burden: orders of UBL and tables that are almost right, bombs of entities,
// depths, and many small parts.
import type { Random } from '../../seeds/random.ts'
import { AGGREGATES, BASICS, ORDER as ORDER_NAMESPACE } from '../../src/ubl/namespaces.ts'
import { changedText } from './change-text.ts'
import { oddText } from './odd-texts.ts'

/** What is sent, and where to. */
export interface SentDocument {
  path: string
  type: string
  body: string
}

const TABLES = ['orders', 'accounts', 'beers', 'stock-lots', 'fleets']
const SIZES = [1, 10, 999, 1_001, 20_000]

const ORDER = (lines: string) => `<?xml version="1.0" encoding="UTF-8"?>
<Order xmlns="${ORDER_NAMESPACE}" xmlns:cac="${AGGREGATES}" xmlns:cbc="${BASICS}">
  <cbc:ID>HOSTILE-1</cbc:ID><cbc:IssueDate>2027-03-01</cbc:IssueDate>
  <cac:BuyerCustomerParty><cac:Party><cac:PartyIdentification><cbc:ID>C-101</cbc:ID></cac:PartyIdentification></cac:Party></cac:BuyerCustomerParty>
  <cac:SellerSupplierParty/>
  <cac:Delivery><cac:RequestedDeliveryPeriod><cbc:EndDate>2027-03-20</cbc:EndDate></cac:RequestedDeliveryPeriod></cac:Delivery>
  ${lines}
</Order>`
const LINE = (n: number) =>
  `<cac:OrderLine><cac:LineItem><cbc:ID>${n}</cbc:ID><cbc:Quantity unitCode="C62">1</cbc:Quantity><cac:Item><cac:SellersItemIdentification><cbc:ID>MAR-KEG50</cbc:ID></cac:SellersItemIdentification></cac:Item></cac:LineItem></cac:OrderLine>`
const many = (count: number, make: (n: number) => string, between = '') =>
  Array.from({ length: count }, (_, n) => make(n)).join(between)

/** Each makes an order of about `n` parts. */
const ORDERS: readonly ((n: number, random: Random) => string)[] = [
  (n) => ORDER(many(n, LINE)),
  (n) => ORDER(many(n, () => '<cac:OrderLine/>')),
  (n) => ORDER(`${many(n, () => '<cac:OrderLine>')}${many(n, () => '</cac:OrderLine>')}`),
  (n) => many(n, (i) => `<a${i}>`),
  (n) => `<a ${many(n, (i) => `b${i}="x"`, ' ')}/>`,
  (n) => `<a>${many(n, () => '&#x41;')}</a>`,
  (_, random) => ORDER(LINE(1).replace('MAR-KEG50', () => `<![CDATA[${oddText(random)}]]>`)),
  // Entities that grow tenfold each, and one that reads a file: no document here needs a type.
  () =>
    `<!DOCTYPE a [<!ENTITY e0 "x">${many(30, (i) => `<!ENTITY e${i + 1} "${`&e${i};`.repeat(10)}">`)}]><a>&e30;</a>`,
  () => `<!DOCTYPE a [<!ENTITY e SYSTEM "file:///etc/hostname">]><Order>&e;</Order>`,
]

const ROWS: readonly ((n: number, random: Random) => string)[] = [
  (n) => `order,account,serveOn,line,pack,quantity\n${many(n, (i) => `H-${i},C-101,2027-03-20,1,MAR-KEG50,1\n`)}`,
  (n) => `order,account,serveOn,line,pack,quantity\n${many(n, () => ',,,,,\n')}`,
  (n) => many(n, (i) => `column${i}`, ','),
  (n) => `externalRef,name\n${many(n, (i) => `"${i}""","line\nbreak"\r\n`)}`,
  (n) => `"${'""'.repeat(n)}`,
  (n, random) => `externalRef,name\n${many(Math.min(n, 10), (i) => `${i},${oddText(random).replaceAll('"', '')}\n`)}`,
]

/** One of them; every other one is changed at random. */
export function sentDocument(random: Random): SentDocument {
  const size = random.pick(SIZES)
  const isOrder = random.chance(0.5)
  const whole = random.pick(isOrder ? ORDERS : ROWS)(size, random)
  const body = random.chance(0.5) ? changedText(whole, random) : whole
  if (isOrder) return { path: '/import/ubl', type: 'application/xml', body }
  return { path: `/import/${random.pick(TABLES)}.csv`, type: 'text/csv', body }
}
