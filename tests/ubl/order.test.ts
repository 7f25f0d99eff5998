// Orders of UBL: what is read of them, what is read over, and what is refused with the element that it stands in.
import { readFile } from 'node:fs/promises'
import fc from 'fast-check'
import { expect, test } from 'vitest'
import { MOST_FAULTS } from '../../src/ubl/faults.ts'
import { readUblOrder } from '../../src/ubl/order.ts'
import { processorTime } from '../support/processor-time.ts'
import { line, orderXml, type Parts, period } from './some-orders.ts'
import { faultsOf } from './validate.ts'

const read = (xml: string) => readUblOrder(new TextEncoder().encode(xml), 200)
const order = (parts?: Parts) => {
  const xml = orderXml(parts)
  // What the tests send is as the standard has it.
  expect(faultsOf(xml)).toEqual([])
  const answer = read(xml)
  if (!('order' in answer)) throw new Error(JSON.stringify(answer))
  return answer.order
}
const faults = (parts: Parts) => {
  const answer = read(orderXml(parts))
  return 'faults' in answer ? answer.faults.map(({ path, code }) => [path, code]) : []
}
const ITEM = 'Order/cac:OrderLine/cac:LineItem'

test('an order has its reference, account and lines; the reference of a line begins with that of the order', () => {
  expect(order()).toMatchObject({
    reference: 'PO-7',
    account: 'C-101',
    lines: [
      { reference: 'PO-7/1', pack: 'FOO-FIRKIN', quantity: 2, deliverBy: '2027-03-12' },
      { reference: 'PO-7/2', pack: 'FOO-KEG', quantity: 1, deliverBy: '2027-03-12' },
    ],
  })
  expect(order()).not.toHaveProperty('note')
})

test("the document of the standard's own example is read: its parties, periods, notes, and a line of 15 pieces", async () => {
  const xml = await readFile(new URL('after-the-example.xml', import.meta.url), 'utf8')
  const answer = read(xml)
  // The first line of the example orders 120 litres.
  const path = 'Order/cac:OrderLine[1]/cac:LineItem/cbc:Quantity'
  expect(answer).toEqual({ faults: [{ path, code: 'UNIT_NOT_SERVED', message: expect.stringContaining('"LTR"') }] })
  const inPieces = read(xml.replace('unitCode="LTR">120<', 'unitCode="C62">120<'))
  expect(inPieces).toMatchObject({
    order: {
      reference: '34',
      account: 'PartyID123',
      note: 'Information text for the whole order\nLine 1: Freetext note on line 1\nLine 2: Freetext note on line 2',
      lines: [
        { reference: '34/1', pack: 'SItemNo001', quantity: 120, deliverBy: '2010-02-25', splittable: false },
        { reference: '34/2', pack: 'SItemNo011', quantity: 15, deliverBy: '2010-02-25', splittable: false },
      ],
    },
  })
})

test('prefixes do not matter, and extensions and what is unknown are read over', () => {
  const plain = orderXml()
  const other = plain
    .replaceAll('cac:', 'a:')
    .replaceAll('xmlns:cac', 'xmlns:a')
    .replaceAll('cbc:', 'b:')
    .replaceAll('xmlns:cbc', 'xmlns:b')
    .replace('<b:UBLVersionID>', '<x xmlns="urn:other"><b:ID>no</b:ID></x><b:UBLVersionID>')
  expect(read(other)).toEqual(read(plain))
})

test('the number that the seller gave the account goes before how the buyer calls itself', () => {
  const buyer = '<cbc:SupplierAssignedAccountID>C-9</cbc:SupplierAssignedAccountID>'
  expect(
    order({
      buyer: `${buyer}<cac:Party><cac:PartyName><cbc:Name>The Bobbin Loft</cbc:Name></cac:PartyName></cac:Party>`,
    }).account,
  ).toBe('C-9')
})

test('a buyer that is named twice, or not at all, is refused', () => {
  const id = (text: string) => `<cac:PartyIdentification><cbc:ID>${text}</cbc:ID></cac:PartyIdentification>`
  const path = 'Order/cac:BuyerCustomerParty/cac:Party/cac:PartyIdentification'
  expect(faults({ buyer: `<cac:Party>${id('A')}${id('B')}</cac:Party>` })).toEqual([
    [`${path}[2]/cbc:ID`, 'BAD_LENGTH'],
  ])
  expect(faults({ buyer: '' })).toEqual([[`${path}/cbc:ID`, 'MISSING_VALUE']])
})

test('the delivery of a line goes before that of the order, and a date may have an offset', () => {
  const more = period('2027-03-15Z', '2027-03-16+01:00')
  const { lines } = order({ lines: line('1', '2', 'P', { more }) + line('2', '2', 'P') })
  expect(lines.map(({ deliverBy }) => deliverBy)).toEqual(['2027-03-16', '2027-03-12'])
})

test('the latest day of delivery is kept, and stands for the requested one where there is no period', () => {
  const latest = '<cbc:LatestDeliveryDate>2027-03-20</cbc:LatestDeliveryDate>'
  const both = period('2027-03-08', '2027-03-12').replace('<cac:Delivery>', `<cac:Delivery>${latest}`)
  expect(order({ delivery: both }).lines[0]).toMatchObject({ deliverBy: '2027-03-12', deliverLatest: '2027-03-20' })
  expect(order({ delivery: `<cac:Delivery>${latest}</cac:Delivery>` }).lines[0]).toMatchObject({
    ...{ deliverBy: '2027-03-20', deliverLatest: '2027-03-20' },
  })
})

test.each(['<cbc:OrderTypeCode>221</cbc:OrderTypeCode>', '<cbc:OrderTypeCode>227</cbc:OrderTypeCode>'])(
  'an order that is no plain one is refused: %s',
  (head) => expect(faults({ head })).toEqual([['Order/cbc:OrderTypeCode', 'WISH_NOT_SERVED']]),
)

test.each([
  ['litres', line('1', '120', 'P', { unit: ' unitCode="LTR"' }), `${ITEM}/cbc:Quantity`, 'UNIT_NOT_SERVED'],
  ['half a cask', line('1', '1.5', 'P'), `${ITEM}/cbc:Quantity`, 'NOT_WHOLE'],
  ['none', line('1', '0', 'P'), `${ITEM}/cbc:Quantity`, 'NOT_WHOLE'],
  ['fewer than none', line('1', '-3', 'P'), `${ITEM}/cbc:Quantity`, 'NOT_WHOLE'],
  [
    'a smallest quantity',
    line('1', '3', 'P', { more: '<cbc:MinimumQuantity>2</cbc:MinimumQuantity>' }),
    ...[`${ITEM}/cbc:MinimumQuantity`, 'WISH_NOT_SERVED'],
  ],
  ['no pack', line('1', '1', ''), `${ITEM}/cac:Item/cac:SellersItemIdentification/cbc:ID`, 'MISSING_VALUE'],
  ['no number', line('', '1', 'P'), `${ITEM}/cbc:ID`, 'MISSING_VALUE'],
  ['lines within it', line('1', '1', 'P', { end: '<cac:SubLineItem/>' }), `${ITEM}/cac:SubLineItem`, 'WISH_NOT_SERVED'],
  [
    'several deliveries',
    line('1', '2', 'P', { more: period('2027-03-01', '2027-03-02') + period('2027-03-03', '2027-03-04') }),
    ...[`${ITEM}/cac:Delivery[2]`, 'WISH_NOT_SERVED'],
  ],
  [
    'a day that does not exist',
    line('1', '2', 'P', { more: period('2027-02-29', '2027-03-02') }),
    ...[`${ITEM}/cac:Delivery/cac:RequestedDeliveryPeriod/cbc:StartDate`, 'NO_SUCH_DATE'],
  ],
  [
    'a period that ends before it begins',
    line('1', '2', 'P', { more: period('2027-03-03', '2027-03-02') }),
    ...[`${ITEM}/cac:Delivery/cac:RequestedDeliveryPeriod/cbc:EndDate`, 'SPAN_REVERSED'],
  ],
  [
    'a line that is cancelled',
    line('1', '2', 'P').replace('</cbc:ID><cbc:Q', '</cbc:ID><cbc:LineStatusCode>Cancelled</cbc:LineStatusCode><cbc:Q'),
    ...[`${ITEM}/cbc:LineStatusCode`, 'WISH_NOT_SERVED'],
  ],
])('a line of %s is refused, and the element is named', (_, lines, path, code) => {
  expect(faults({ lines })).toEqual([[path, code]])
})

test('an order without a day of delivery names the element that is missing, for each line', () => {
  const path = 'cac:Delivery/cac:RequestedDeliveryPeriod/cbc:EndDate'
  expect(faults({ delivery: '' })).toEqual([
    [`Order/cac:OrderLine[1]/cac:LineItem/${path}`, 'MISSING_VALUE'],
    [`Order/cac:OrderLine[2]/cac:LineItem/${path}`, 'MISSING_VALUE'],
  ])
})

test('beer goes to the account that orders it and not to another place', () => {
  const to = (id: string) =>
    `<cac:Delivery><cac:DeliveryLocation><cbc:ID>${id}</cbc:ID></cac:DeliveryLocation><cac:RequestedDeliveryPeriod><cbc:EndDate>2027-03-12</cbc:EndDate></cac:RequestedDeliveryPeriod></cac:Delivery>`
  expect(order({ delivery: to('C-101') }).lines).toHaveLength(2)
  expect(faults({ delivery: to('C-102') })).toEqual([
    ['Order/cac:Delivery/cac:DeliveryLocation/cbc:ID', 'WISH_NOT_SERVED'],
  ])
})

test('all that is wrong is listed at once', () => {
  expect(
    faults({ id: '', buyer: '', delivery: '', lines: line('', 'x', '', { unit: ' unitCode="HLT"' }) }),
  ).toHaveLength(7)
})

test('a document that is no order says what it is', () => {
  expect(read('<Invoice xmlns="urn:x"/>')).toMatchObject({
    unreadable: 'NOT_AN_ORDER',
    message: expect.stringContaining('{urn:x}Invoice'),
  })
  expect(read('<Order/>')).toMatchObject({ unreadable: 'NOT_AN_ORDER' })
  expect(read('beer, please')).toMatchObject({ unreadable: 'XML_UNREADABLE' })
})

test('an order of more lines than one may have is refused at the first that is too many', () => {
  const lines = Array.from({ length: 201 }, (_, index) => line(`${index}`, '1', 'P')).join('')
  expect(faults({ lines })).toEqual([['Order/cac:OrderLine[201]', 'BAD_LENGTH']])
})

test('what is wrong thousands of times costs little time, and a hundred of it are listed', async () => {
  const lines = '<cac:OrderLine/>'.repeat(10_000)
  const more = '<cbc:MinimumQuantity>9</cbc:MinimumQuantity>'.repeat(10_000)
  const { result, took } = await processorTime(() => [
    faults({ lines }),
    faults({ lines: line('1', '1', 'P', { more }) }),
  ])
  for (const each of result) expect(each).toHaveLength(MOST_FAULTS)
  // Where the place of an element was counted anew for each path these took half a minute.
  expect(took).toBeLessThan(8000)
})

test('whatever becomes of a document, it is read or refused, with elements that stand in it or are missing there', () => {
  const xml = orderXml({ lines: line('1', '2', 'P', { more: period('2027-03-15', '2027-03-16') }) })
  const pieces = xml.split(/(?=<)/)
  const place = fc.nat(pieces.length - 1)
  const change = fc.oneof(
    place.map((at) => (all: string[]) => all.toSpliced(at, 1)),
    fc.tuple(place, place).map(
      ([from, to]) =>
        (all: string[]) =>
          all.toSpliced(to, 0, all[from] ?? ''),
    ),
    fc.tuple(place, fc.string({ unit: 'binary' })).map(
      ([at, text]) =>
        (all: string[]) =>
          all.toSpliced(at, 0, text),
    ),
    fc.tuple(place, fc.constantFrom('-1', '1e9', '0', 'NaN', '2027-13-01', '', '&amp;', '<!-- -->')).map(
      ([at, text]) =>
        (all: string[]) =>
          all.map((piece, index) => (index === at ? piece.replace(/>.*$/s, `>${text}`) : piece)),
    ),
  )
  fc.assert(
    fc.property(fc.array(change, { minLength: 1, maxLength: 4 }), (changes) => {
      const answer = read(changes.reduce((all, each) => each(all), pieces).join(''))
      if ('faults' in answer)
        for (const { path } of answer.faults) expect(path).toMatch(/^Order(\/(cac:|cbc:)\w+(\[\d+\])?)*$/)
      else if ('order' in answer)
        for (const each of answer.order.lines) {
          expect(each.quantity).toBeGreaterThan(0)
          expect(each.deliverBy).toMatch(/^\d{4}-\d\d-\d\d$/)
        }
      else expect(answer.message).toMatch(/^The document .*\.$/s)
    }),
    { numRuns: 500 },
  )
})
