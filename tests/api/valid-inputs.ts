// One valid input for each kind of set-up thing, for tests that break them.

type Ref = { id: string }

/** Inputs that name these things. */
export function validInputs(refs: { site: Ref; vessel: Ref; beer: Ref; pack: Ref }) {
  const SITE = {
    name: 'S',
    timeZone: 'Europe/London',
    brewWeekdays: [1],
    fillWeekdays: [1],
    brewsPerDay: 1,
    brewEnds: '16:00',
    fillStarts: '08:00',
  }
  const VESSEL = {
    site: refs.site,
    name: 'V',
    kind: 'FERMENTER',
    capacityLitres: 1000,
    minFillLitres: 400,
    turnaroundDays: 1,
  }
  const BEER = {
    name: 'B',
    style: 'Mild',
    fermentHours: 96,
    restHours: 24,
    dryHopHours: 0,
    crashHours: 48,
    maxTankDays: 14,
    brightDays: 1,
    maxBrightDays: 10,
    lossFraction: 0.05,
  }
  const PACK = {
    name: 'P',
    beer: refs.beer,
    containerType: { externalRef: 'NONE' },
    drawFrom: 'FERMENTER',
    conditioningDays: 1,
    settleDays: 1,
    shelfLifeDays: 30,
  }
  const ROUTE = { site: refs.site, name: 'R', weekdays: [1], transitDays: 0 }
  const ACCOUNT = { name: 'A', routes: [] }
  const BATCH = {
    code: 'X',
    beer: refs.beer,
    vessel: refs.vessel,
    litres: 100,
    readyAt: '2027-02-01T00:00:00Z',
  }
  const LOT = {
    code: 'X',
    site: refs.site,
    pack: refs.pack,
    quantity: 1,
    filledOn: '2027-02-01',
    readyOn: '2027-02-02',
    bestBefore: '2027-03-02',
  }
  return { SITE, VESSEL, BEER, PACK, ROUTE, ACCOUNT, BATCH, LOT }
}
