// The demo held against figures from outside the project; the source stands beside each check.
import { describe, expect, it } from 'vitest'
import { CONTAINER_TYPES } from '../../seeds/containers.ts'
import { demoScenario } from '../../seeds/demo.ts'

const { problem } = demoScenario('2027-03-01')
const packs = problem.beers.flatMap((beer) => beer.packs.map((pack) => ({ beer, pack })))
const kindOf = new Map(problem.containerTypes.map((type) => [type.id, type.kind]))

/** Days from the fill to the glass: conditioning and settling. */
const fillToServe = (beerId: string, packId: string) => {
  const found = packs.find(({ beer, pack }) => beer.id === beerId && pack.id === packId)
  return (found?.pack.conditioningDays ?? 0) + (found?.pack.settleDays ?? 0)
}

describe('container volumes', () => {
  // Statutory cask sizes in imperial gallons of 4.54609 L: pin 4.5, firkin 9, kilderkin 18 (secondary sources, arithmetic checked).
  it.each([
    ['pin', 4.5, 20.457405],
    ['firkin', 9, 40.91481],
    ['kilderkin', 18, 81.82962],
  ])('give a %s %d gallons = %d L', (id, gallons, litres) => {
    const type = CONTAINER_TYPES.find((other) => other.id === id)
    expect(type?.nominalLitres).toBe(litres)
    expect(gallons * 4.54609).toBeCloseTo(litres, 9)
  })

  // 27 CFR 25.156 lists 30 L and 50 L kegs as 0.25565 and 0.42608 US barrels; a barrel is 31 US gallons of 231 cubic
  // inches (27 CFR 25.151, NIST Handbook 44 App. C) = 117.347765304 L.
  it.each([
    ['keg-30', 0.25565],
    ['keg-50', 0.42608],
  ])('give a %s the litres whose US barrels 27 CFR 25.156 lists as %d', (id, barrels) => {
    const litres = CONTAINER_TYPES.find((other) => other.id === id)?.nominalLitres ?? 0
    expect((litres / 117.347765304).toFixed(5)).toBe(barrels.toFixed(5))
  })
})

describe('practice in the demo', () => {
  // Common practice: a crash of about 48 h cold before a cask fill.
  it('crashes every beer for 48 hours', () => {
    for (const beer of problem.beers) expect(beer.crashHours).toBe(48)
  })

  // Common practice: fill to service 2-3 days for plain pale styles, about a week for a heavily hopped dark one.
  it('serves plain pales two to three days after the fill and the heavily hopped dark one after a week', () => {
    expect(fillToServe('foolscap', 'foolscap-firkin')).toBeGreaterThanOrEqual(2)
    expect(fillToServe('foolscap', 'foolscap-firkin')).toBeLessThanOrEqual(3)
    expect(fillToServe('dog-ear', 'dog-ear-firkin')).toBeGreaterThanOrEqual(2)
    expect(fillToServe('dog-ear', 'dog-ear-firkin')).toBeLessThanOrEqual(3)
    expect(fillToServe('blotter', 'blotter-firkin')).toBe(7)
  })

  // Common practice: casks from beer low in carbonation, before it goes to the bright vessel.
  it('draws every cask from the fermenter', () => {
    for (const { pack } of packs)
      if (kindOf.get(pack.containerTypeId) === 'CASK') expect(pack.drawFrom).toBe('FERMENTER')
  })

  // Common practice: priming needs yeast, not after about four weeks of standing; primed for gravity service.
  it('primes within four weeks of the ready day, and primes casks for gravity only', () => {
    const primed = packs.filter(({ pack }) => pack.primed)
    expect(primed.length).toBeGreaterThan(0)
    for (const { pack } of primed) {
      expect(pack.primingWindowDays).toBeLessThanOrEqual(28)
      if (kindOf.get(pack.containerTypeId) === 'CASK') expect(pack.id).toMatch(/-gravity$/)
    }
  })

  // Trade sites: best before 4 to 7 weeks after racking for cask, 8 weeks or more for keg.
  it('gives casks four to seven weeks and kegs eight weeks or more', () => {
    for (const { pack } of packs) {
      if (kindOf.get(pack.containerTypeId) === 'CASK') {
        expect(pack.shelfLifeDays).toBeGreaterThanOrEqual(28)
        expect(pack.shelfLifeDays).toBeLessThanOrEqual(49)
      } else expect(pack.shelfLifeDays).toBeGreaterThanOrEqual(56)
    }
  })

  // Technical sheet of a brewing supplier: stillage at least 24 h.
  it('lets every cask settle for at least a day', () => {
    for (const { pack } of packs) {
      if (kindOf.get(pack.containerTypeId) === 'CASK') expect(pack.settleDays).toBeGreaterThanOrEqual(1)
    }
  })

  // The published charter of a trade accreditation scheme for those who distribute cask beer: delivered at least 14 days before the best before.
  it('leaves the wholesaler more than fourteen days before the best before', () => {
    const depot = problem.accounts.find((account) => account.id === 'wexenfold-depot')
    expect(depot?.minDaysOnSale).toBeGreaterThanOrEqual(14)
  })
})
