import { describe, expect, test } from 'vitest'
import { checkCharacter, dayOfLotCode, isChecked, lotCode, readLotCode } from '../../src/floor/lot-code.ts'

const LOT = { site: 1, day: '2027-03-12', batchId: 'batch', packId: 'pack', sequence: 0 }

describe('the check character', () => {
  // The example of the Global Release Identifier standard, A1-2425G-ABC1234002-M, whose check is ISO/IEC 7064 MOD 37,36
  // (from memory).
  test('is that of ISO/IEC 7064 MOD 37,36', () => {
    expect(checkCharacter('A12425GABC1234002')).toBe('M')
    expect(isChecked('A1-2425G-ABC1234002-M')).toBe(true)
  })

  test('finds every wrong character and every two neighbours that changed places', () => {
    const code = lotCode(LOT).replaceAll('-', '')
    const characters = '0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ'
    for (let at = 0; at < code.length; at++) {
      for (const other of characters)
        if (other !== code[at]) expect(isChecked(code.slice(0, at) + other + code.slice(at + 1))).toBe(false)
      const [a, b] = [code[at], code[at + 1]]
      if (a !== b && b !== undefined) expect(isChecked(code.slice(0, at) + b + a + code.slice(at + 2))).toBe(false)
    }
  })
})

describe('the code of a lot', () => {
  test('is ten characters and two hyphens, the same each time, and says its day', () => {
    expect(lotCode(LOT)).toMatch(/^[0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z]{2}$/)
    expect(lotCode(LOT)).toBe(lotCode({ ...LOT }))
    expect(dayOfLotCode(lotCode(LOT))).toBe('2027-03-12')
    expect(dayOfLotCode(lotCode({ ...LOT, day: '2030-12-31' }))).toBe('2030-12-31')
  })

  test('differs by site, day, batch, pack and sequence', () => {
    const others = [{ site: 2 }, { day: '2027-03-13' }, { batchId: 'other' }, { packId: 'other' }, { sequence: 1 }]
    const codes = [LOT, ...others.map((other) => ({ ...LOT, ...other }))].map(lotCode)
    expect(new Set(codes).size).toBe(6)
  })

  test('is read as a person types it, and what has another form is none', () => {
    const code = lotCode(LOT)
    for (const typed of [code, code.toLowerCase(), code.replaceAll('-', ''), ` ${code.replaceAll('-', ' ')}`])
      expect(readLotCode(typed)).toBe(code)
    for (const typed of ['', code.slice(1), `${code}0`, code.replace('-', '/')])
      expect(readLotCode(typed)).toBeUndefined()
  })
})
