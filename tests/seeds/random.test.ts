// The seeded generator: same seed, same values; the helpers stay within their bounds.
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { randomFrom } from '../../seeds/random.ts'

describe('the seeded generator', () => {
  it('gives the same values for the same seed and others for another', () => {
    const values = (seed: number) => {
      const random = randomFrom(seed)
      return Array.from({ length: 20 }, () => random.int(0, 1_000_000))
    }
    expect(values(7)).toEqual(values(7))
    expect(values(7)).not.toEqual(values(8))
  })

  it('gives a fork values that do not depend on what was drawn before', () => {
    const drawn = randomFrom(3)
    drawn.unit()
    expect(drawn.fork('beers').unit()).toBe(randomFrom(3).fork('beers').unit())
    expect(drawn.fork('beers').unit()).not.toBe(drawn.fork('tanks').unit())
  })

  it('keeps whole numbers within their bounds and reaches every one of them', () => {
    fc.assert(
      fc.property(fc.integer(), fc.integer({ min: -5, max: 5 }), fc.integer({ min: 0, max: 4 }), (seed, from, span) => {
        const random = randomFrom(seed)
        const seen = new Set(Array.from({ length: 200 }, () => random.int(from, from + span)))
        expect([...seen].sort((a, b) => a - b)).toEqual(Array.from({ length: span + 1 }, (_, i) => from + i))
      }),
    )
  })

  it('shuffles without losing or inventing an element', () => {
    fc.assert(
      fc.property(fc.integer(), fc.array(fc.integer()), (seed, list) => {
        expect(randomFrom(seed).shuffled(list).sort()).toEqual([...list].sort())
      }),
    )
  })

  it('picks by weight: never what weighs nothing, about three times as often what weighs three times as much', () => {
    const random = randomFrom(11)
    const count = { never: 0, once: 0, thrice: 0 }
    const weights = { never: 0, once: 1, thrice: 3 }
    for (let draw = 0; draw < 4000; draw++) {
      count[random.weighted(['never', 'once', 'thrice'] as const, (name) => weights[name])]++
    }
    expect(count.never).toBe(0)
    expect(count.thrice / count.once).toBeGreaterThan(2.5)
    expect(count.thrice / count.once).toBeLessThan(3.5)
  })
})
