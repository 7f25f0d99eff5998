// A DespatchAdvice of UBL 2.4: what left for an order on a day, lot by lot. The order of the elements is the standard's.
import type { LocalDate } from '../planner/documents/index.ts'
import { AGGREGATES, BASICS, DESPATCH_ADVICE } from './namespaces.ts'
import { asXml, element, type Written } from './write-xml.ts'

/** Something by reference and name. */
export interface Named {
  reference: string
  name: string
}

/** So many of one lot that left for a line of the order. */
export interface DespatchLine {
  /** Whole containers. */
  quantity: number
  /** The buyer's number of the line. */
  line: string
  /** Ours, from 1. */
  lineNumber: number
  pack: Named
  beer: Named
  containerType: Named
  lot: { code: string; bestBefore: LocalDate }
}

/** What left for an order on a day. */
export interface DespatchAdvice {
  id: string
  /** The day on which it was last said. */
  issuedOn: LocalDate
  dispatchedOn: LocalDate
  /** The buyer's reference of the order, and our number. */
  order: { reference: string; number: number }
  supplier: Named
  customer: Named
  /** Where it left from, each site once. */
  sites: readonly Named[]
  lines: readonly DespatchLine[]
}

/** Containers are counted one by one (UN/ECE Recommendation 20). */
const EACH = { unitCode: 'C62' }

/** The document. */
export function asDespatchAdvice(advice: DespatchAdvice): string {
  const { id, issuedOn, order, supplier, customer, lines } = advice
  const total = lines.reduce((sum, { quantity }) => sum + quantity, 0)
  return asXml(
    element(
      'DespatchAdvice',
      [
        element('cbc:UBLVersionID', '2.4'),
        element('cbc:ID', id),
        element('cbc:IssueDate', issuedOn),
        element('cbc:LineCountNumeric', String(lines.length)),
        orderReference(order),
        element('cac:DespatchSupplierParty', [party(supplier)]),
        element('cac:DeliveryCustomerParty', [
          element('cbc:SupplierAssignedAccountID', customer.reference),
          party(customer),
        ]),
        element('cac:Shipment', [
          element('cbc:ID', id),
          element('cbc:TotalGoodsItemQuantity', String(total), EACH),
          element('cac:Delivery', [despatch(advice)]),
        ]),
        ...lines.map((line, index) => despatchLine(line, index + 1, order)),
      ],
      { xmlns: DESPATCH_ADVICE, 'xmlns:cac': AGGREGATES, 'xmlns:cbc': BASICS },
    ),
  )
}

function orderReference({ reference, number }: DespatchAdvice['order']): Written {
  return element('cac:OrderReference', [element('cbc:ID', reference), element('cbc:SalesOrderID', String(number))])
}

function party({ reference, name }: Named): Written {
  return element('cac:Party', [
    element('cac:PartyIdentification', [element('cbc:ID', reference)]),
    element('cac:PartyName', [element('cbc:Name', name)]),
  ])
}

/** When it left, and from where if all of it left from one place. */
function despatch({ dispatchedOn, sites: [site, second] }: DespatchAdvice): Written {
  return element('cac:Despatch', [
    element('cbc:ActualDespatchDate', dispatchedOn),
    site && !second
      ? element('cac:DespatchLocation', [element('cbc:ID', site.reference), element('cbc:Name', site.name)])
      : undefined,
  ])
}

function despatchLine(line: DespatchLine, number: number, order: DespatchAdvice['order']): Written {
  const { pack, beer, containerType, lot } = line
  return element('cac:DespatchLine', [
    element('cbc:ID', String(number)),
    element('cbc:DeliveredQuantity', String(line.quantity), EACH),
    element('cac:OrderLineReference', [
      element('cbc:LineID', line.line),
      element('cbc:SalesOrderLineID', String(line.lineNumber)),
      orderReference(order),
    ]),
    element('cac:Item', [
      element('cbc:Name', pack.name),
      element('cac:SellersItemIdentification', [element('cbc:ID', pack.reference)]),
      ...property('Beer', beer),
      ...property('Container', containerType),
      element('cac:ItemInstance', [
        element('cbc:BestBeforeDate', lot.bestBefore),
        element('cac:LotIdentification', [element('cbc:LotNumberID', lot.code)]),
      ]),
    ]),
  ])
}

function property(name: string, { reference, name: value }: Named): Written[] {
  return [
    element('cac:AdditionalItemProperty', [
      element('cbc:ID', reference),
      element('cbc:Name', name),
      element('cbc:Value', value),
    ]),
  ]
}
