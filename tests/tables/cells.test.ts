// Cells and lines: an independent parser (Papa Parse) reads back what is written, and no cell is taken for a formula.
import fc from 'fast-check'
import Papa from 'papaparse'
import { expect, test } from 'vitest'
import { csvLine, listText, refIn, refText, textsIn, withoutApostrophe } from '../../src/tables/cells.ts'

const nasty = fc.string({
  unit: fc.constantFrom('a', '"', ',', '\r', '\n', ';', '\\', "'", '=', '+', '-', '@', '\t', ' ', 'é', '[', ']'),
})

test('an independent parser reads back quotes, line breaks and commas, and each line ends with CRLF (RFC 4180)', () => {
  fc.assert(
    fc.property(fc.array(fc.array(nasty, { minLength: 2, maxLength: 2 }), { minLength: 1 }), (rows) => {
      const text = rows.map(csvLine).join('')
      const { data, errors } = Papa.parse<string[]>(text, { delimiter: ',', newline: '\r\n' })
      expect(errors).toEqual([])
      expect(data.pop()).toEqual([''])
      expect(data.map((row) => row.map(withoutApostrophe))).toEqual(rows)
    }),
  )
})

// OWASP, "CSV Injection" (from memory): the signs that a cell of text must not begin with.
test('no cell of text begins like a formula, and numbers stay numbers', () => {
  fc.assert(
    fc.property(nasty, (text) => {
      const [[cell = ''] = []] = Papa.parse<string[]>(csvLine([text, 1]), { delimiter: ',', newline: '\r\n' }).data
      expect(cell).not.toMatch(/^[=+\-@\t\r]/)
      expect(withoutApostrophe(cell)).toBe(text)
    }),
  )
  expect(csvLine([-4, 0.5, true, null, undefined, '-4'])).toBe("-4,0.5,true,,,'-4\r\n")
})

test('several texts in a cell are the same ones when they are read, whatever is in them', () => {
  const part = nasty.map((text) => text.trim()).filter((text) => text !== '')
  fc.assert(
    fc.property(fc.array(part), (texts) => {
      expect(textsIn(listText(texts))).toEqual(texts)
    }),
  )
  expect(textsIn('a; b ;c')).toEqual(['a', 'b', 'c'])
  expect(textsIn('[]')).toEqual([])
})

test('a thing is named by its reference, by its id where it has none, and a reference that looks like an id is none', () => {
  expect(refIn(refText({ externalRef: 'C-1', id: 'x' }))).toEqual({ externalRef: 'C-1' })
  expect(refIn(refText({ externalRef: null, id: 'x' }))).toEqual({ id: 'x' })
  expect(refIn(refText({ externalRef: 'id:7', id: 'x' }))).toEqual({ id: 'x' })
})
