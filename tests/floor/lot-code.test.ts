import { describe, expect, test } from 'vitest'
import { randomFrom } from '../../seeds/random.ts'
import {
  checkCharacter,
  chosenCode,
  dayOfLotCode,
  type Filled,
  isChecked,
  lotCode,
  readLotCode,
} from '../../src/floor/lot-code.ts'

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

describe('a code that is known from the plan on', () => {
  /** Batches whose codes differ by the sequence alone: the four characters of batch and pack are the same. */
  function namesakes(count: number): Filled[] {
    const seen = new Map<string, Filled[]>()
    for (let n = 0; ; n++) {
      const filled = { batchId: `batch-${n}`, packId: 'pack' }
      const code = lotCode({ ...LOT, ...filled })
      const same = [...(seen.get(code) ?? []), filled]
      if (same.length === count) return same
      seen.set(code, same)
    }
  }

  test.each([1, 2, 3, 4, 5, 6])(
    'is that of the lot, in whatever order fills are said, even of namesakes (%i)',
    (seed) => {
      const random = randomFrom(seed)
      const fills = [...namesakes(3), { batchId: 'other', packId: 'pack' }, { batchId: 'other', packId: 'keg' }]
      const codeOf = (filled: Filled, taken: ReadonlyMap<string, Filled>, planned: Filled[]) =>
        chosenCode({ site: LOT.site, day: LOT.day, ...filled }, taken, planned)
      const known = fills.map((filled) => codeOf(filled, new Map(), fills))
      expect(new Set(known).size).toBe(fills.length)
      const taken = new Map<string, Filled>()
      let planned = fills
      while (planned.length > 0) {
        const filled = random.pick(planned)
        const code = codeOf(filled, taken, planned)
        expect(code).toBe(known[fills.indexOf(filled)])
        taken.set(code, filled)
        // What is filled in two goes grows its lot, and stays planned until the second.
        expect(codeOf(filled, taken, planned)).toBe(code)
        for (const other of planned) expect(codeOf(other, taken, planned)).toBe(known[fills.indexOf(other)])
        planned = planned.filter((each) => each !== filled)
      }
    },
  )

  test('is refused where a day has used up all of them', () => {
    const taken = new Map(
      Array.from({ length: 36 }, (_, sequence) => [
        lotCode({ ...LOT, sequence }),
        { batchId: `x${sequence}`, packId: 'y' },
      ]),
    )
    expect(() => chosenCode(LOT, taken, [])).toThrow(RangeError)
  })
})
