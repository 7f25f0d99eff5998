// Orders of UBL for tests.
import { AGGREGATES, BASICS, ORDER } from '../../src/ubl/namespaces.ts'

/** What differs from the usual order; each is XML that goes in at its place. */
export interface Parts {
  id?: string
  head?: string
  buyer?: string
  delivery?: string
  lines?: string
}

const BUYER = '<cac:Party><cac:PartyIdentification><cbc:ID>C-101</cbc:ID></cac:PartyIdentification></cac:Party>'

/** The period in which a delivery is asked for. */
export const period = (start: string, end: string) =>
  `<cac:Delivery><cac:RequestedDeliveryPeriod><cbc:StartDate>${start}</cbc:StartDate><cbc:EndDate>${end}</cbc:EndDate></cac:RequestedDeliveryPeriod></cac:Delivery>`

/** A line: its number, quantity and pack; `more` stands between quantity and item, `notes` before the line item. */
export const line = (
  number: string,
  quantity: string,
  pack: string,
  { more = '', unit = ' unitCode="C62"', notes = '', end = '' } = {},
) => `<cac:OrderLine>${notes}<cac:LineItem><cbc:ID>${number}</cbc:ID><cbc:Quantity${unit}>${quantity}</cbc:Quantity>${more}
  <cac:Item><cac:SellersItemIdentification><cbc:ID>${pack}</cbc:ID></cac:SellersItemIdentification></cac:Item>${end}</cac:LineItem></cac:OrderLine>`

/** An order; without parts, of two firkins and a keg. */
export function orderXml({
  id = 'PO-7',
  head = '',
  buyer = BUYER,
  delivery = period('2027-03-08', '2027-03-12'),
  lines = line('1', '2', 'FOO-FIRKIN') + line('2', '1', 'FOO-KEG'),
}: Parts = {}): string {
  return `<?xml version="1.0" encoding="UTF-8"?>
<Order xmlns="${ORDER}" xmlns:cac="${AGGREGATES}" xmlns:cbc="${BASICS}">
  <cbc:UBLVersionID>2.4</cbc:UBLVersionID><cbc:ID>${id}</cbc:ID><cbc:IssueDate>2027-03-01</cbc:IssueDate>${head}
  <cac:BuyerCustomerParty>${buyer}</cac:BuyerCustomerParty>
  <cac:SellerSupplierParty><cac:Party><cac:PartyName><cbc:Name>Mossrake</cbc:Name></cac:PartyName></cac:Party></cac:SellerSupplierParty>
  ${delivery}
  ${lines}
</Order>`
}
