// What is sent as a DespatchAdvice stands in the order of the standard, whatever the names in it.
import fc from 'fast-check'
import { expect, test } from 'vitest'
import { asDespatchAdvice, type DespatchAdvice } from '../../src/ubl/despatch-advice.ts'
import { faultsOf, parsed, textsOf } from './validate.ts'

const text = fc.string({ unit: 'grapheme', minLength: 1 }).filter((each) => /\S/.test(each))
const named = fc.record({ reference: text, name: text })
const day = fc
  .date({ min: new Date('2000-01-01'), max: new Date('2099-12-31'), noInvalidDate: true })
  .map((each) => each.toISOString().slice(0, 10))
const line = fc.record({
  ...{ quantity: fc.integer({ min: 1, max: 1000 }), line: text, lineNumber: fc.integer({ min: 1, max: 200 }) },
  ...{ pack: named, beer: named, containerType: named, lot: fc.record({ code: text, bestBefore: day }) },
})
const advice: fc.Arbitrary<DespatchAdvice> = fc.record({
  ...{ id: text, issuedOn: day, dispatchedOn: day, supplier: named, customer: named },
  order: fc.record({ reference: text, number: fc.integer({ min: 1 }) }),
  sites: fc.array(named, { minLength: 1, maxLength: 2 }),
  lines: fc.array(line, { minLength: 1, maxLength: 5 }),
})

test('every advice is as the standard has it, and says for each line how many of which lot left', () => {
  fc.assert(
    fc.property(advice, (each) => {
      const xml = asDespatchAdvice(each)
      expect(faultsOf(xml)).toEqual([])
      const root = parsed(xml)
      const { lines } = each
      expect(textsOf(root, 'cbc:DeliveredQuantity')).toEqual(lines.map(({ quantity }) => String(quantity)))
      expect(textsOf(root, 'cbc:LotNumberID')).toEqual(lines.map(({ lot }) => lot.code))
      expect(textsOf(root, 'cbc:BestBeforeDate')).toEqual(lines.map(({ lot }) => lot.bestBefore))
      expect(textsOf(root, 'cbc:LineID')).toEqual(lines.map((own) => own.line))
      expect(textsOf(root, 'cbc:ActualDespatchDate')).toEqual([each.dispatchedOn])
    }),
  )
})

test('a code with any sign that some parser takes for an end of line is read back as it was', () => {
  const [one] = fc.sample(advice, { numRuns: 1, seed: 1 })
  const [line] = one?.lines ?? []
  if (!one || !line) throw new Error('an advice has a line')
  for (const sign of ['\n', '\r', '\r\n', '\u0085', '\u2028', '\u2029']) {
    const code = `a${sign}b`
    const xml = asDespatchAdvice({ ...one, lines: [{ ...line, lot: { ...line.lot, code } }] })
    expect(textsOf(parsed(xml), 'cbc:LotNumberID'), JSON.stringify(sign)).toEqual([code])
  }
})

test('the check finds what is missing, what stands too often or in the wrong place, and what is no value', () => {
  const [one] = fc.sample(advice, { numRuns: 1, seed: 1 })
  const xml = one ? asDespatchAdvice(one) : ''
  const faults = (from: RegExp, to: string) => faultsOf(xml.replace(from, to)).length
  expect(faults(/<cbc:ID>.*<\/cbc:ID>/, '')).toBe(1)
  expect(faults(/(<cbc:UBLVersionID>.*)\n/, '$1$1')).toBe(1)
  expect(faults(/(<cbc:IssueDate>.*)\n(.*)\n/, '$2$1')).toBe(1)
  expect(faults(/(<cbc:IssueDate>)/, '$1on ')).toBe(1)
  expect(faults(/<cbc:UBLVersionID>/, '<cbc:Beer>1</cbc:Beer><cbc:UBLVersionID>')).toBeGreaterThan(0)
})
