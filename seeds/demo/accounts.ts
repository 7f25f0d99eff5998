// The demo's accounts, all invented: pubs and bars in town, on the moor, around the harbour and on an island, a
// wholesale depot, a caterer and three events; and what the regular ones order, week by week.
import type { Account } from '../../src/planner/problem.ts'
import type { Names } from '../../src/records/scenario.ts'

/** One or two times a month or every week: `everyWeeks` from the first week, or from the second where `fromWeek` is 2. */
export interface Habit {
  /** ISO weekday on which the beer is to be served. */
  serveWeekday: number
  everyWeeks: 1 | 2
  fromWeek?: 1 | 2
  /** How many weeks ahead the account orders. */
  weeksAhead: number
  /** Containers by pack. */
  lines: Readonly<Record<string, number>>
}

export interface Regular {
  name: string
  account: Account
  habits: readonly Habit[]
}

/** What an account has beside its route and habits. */
type Rules = Omit<Account, 'id' | 'routeIds'>

function regular(id: string, name: string, routeId: string, rules: Rules, ...habits: Habit[]): Regular {
  return { name, account: { id, routeIds: [routeId], ...rules }, habits }
}

const weekly = (serveWeekday: number, lines: Habit['lines'], weeksAhead = 4): Habit => ({
  serveWeekday,
  everyWeeks: 1,
  weeksAhead,
  lines,
})
const fortnightly = (serveWeekday: number, fromWeek: 1 | 2, lines: Habit['lines']): Habit => ({
  serveWeekday,
  everyWeeks: 2,
  fromWeek,
  weeksAhead: 4,
  lines,
})

const [TUE, WED, THU, FRI, SAT] = [2, 3, 4, 5, 6]
const town = { returnDays: 12, maxEarlyDays: 4 }
const moor = { returnDays: 14, maxEarlyDays: 6 }
const harbour = { returnDays: 12, maxEarlyDays: 4 }
const island = { returnDays: 15, maxEarlyDays: 6 }

/** The accounts that order week by week. */
export const REGULARS: readonly Regular[] = [
  regular(
    'inky-heron',
    'The Inky Heron',
    'town-dray',
    town,
    weekly(FRI, { 'foolscap-firkin': 3, 'copperplate-firkin': 2 }),
  ),
  regular(
    'tin-cormorant',
    'The Tin Cormorant',
    'town-dray',
    town,
    weekly(THU, { 'foolscap-firkin': 2, 'marginalia-keg-50': 2 }, 3),
  ),
  regular(
    'sundial-sparrow',
    'The Sundial & Sparrow',
    'town-dray',
    town,
    weekly(FRI, { 'copperplate-kilderkin': 1, 'foolscap-pin': 2 }, 3),
  ),
  regular(
    'drowsy-ferryman',
    'The Drowsy Ferryman',
    'town-dray',
    town,
    weekly(SAT, { 'foolscap-firkin': 4 }),
    fortnightly(SAT, 2, { 'blotter-firkin': 2 }),
  ),
  regular(
    'copper-kestrel',
    'The Copper Kestrel',
    'town-dray',
    town,
    weekly(FRI, { 'marginalia-firkin': 3, 'deckle-keg-50': 2 }, 3),
  ),
  regular(
    'bar-ampersand',
    'Bar Ampersand',
    'town-dray',
    { ...town, receivesWeekdays: [1, 2, 3, 4, 5] },
    weekly(THU, { 'deckle-keg-50': 3, 'marginalia-keg-30': 4 }, 5),
  ),
  regular(
    'wandering-anvil',
    'The Wandering Anvil',
    'town-dray',
    town,
    weekly(FRI, { 'copperplate-firkin': 3, 'blotter-firkin': 2 }, 3),
  ),
  regular(
    'gilded-newt',
    'The Gilded Newt',
    'town-dray',
    town,
    fortnightly(WED, 1, { 'foolscap-firkin': 3, 'blotter-firkin': 2 }),
  ),
  regular(
    'quiet-trombone',
    'The Quiet Trombone',
    'town-dray',
    { ...town, settleDays: 2 },
    weekly(SAT, { 'foolscap-pin': 2, 'deckle-keg-30': 3 }, 3),
  ),
  regular(
    'patient-badger',
    'The Patient Badger',
    'town-dray',
    town,
    weekly(FRI, { 'copperplate-firkin': 2, 'marginalia-firkin': 2 }, 3),
  ),
  regular(
    'moth-candle',
    'The Moth & Candle',
    'town-dray',
    town,
    weekly(THU, { 'foolscap-firkin': 3, 'blotter-firkin': 1 }, 3),
  ),
  regular('upside-down-boat', 'The Upside-Down Boat', 'town-dray', town, weekly(TUE, { 'marginalia-keg-50': 3 })),
  regular(
    'clockmakers-cellar',
    'The Clockmakers’ Cellar',
    'town-dray',
    town,
    weekly(FRI, { 'foolscap-firkin': 2, 'blotter-keg-30': 3 }, 3),
  ),
  regular(
    'velvet-herring',
    'The Velvet Herring',
    'town-dray',
    town,
    weekly(SAT, { 'copperplate-kilderkin': 1, 'deckle-keg-50': 2 }, 3),
  ),
  regular(
    'salted-thimble',
    'The Salted Thimble',
    'town-dray',
    town,
    fortnightly(WED, 2, { 'foolscap-firkin': 3, 'copperplate-firkin': 2 }),
  ),
  // A wholesaler sells on: it wants four weeks of life left in its casks, and takes deliveries on weekdays only.
  regular(
    'northgate-depot',
    'Northgate Drinks Depot',
    'town-dray',
    { returnDays: 20, minDaysOnSale: 21, receivesWeekdays: [1, 2, 3, 4, 5] },
    weekly(TUE, { 'foolscap-firkin': 8, 'copperplate-firkin': 3, 'deckle-keg-50': 5 }),
  ),
  regular(
    'ninth-furrow',
    'The Ninth Furrow',
    'moor-van',
    moor,
    weekly(FRI, { 'foolscap-firkin': 2, 'copperplate-firkin': 1 }, 3),
  ),
  regular(
    'hollow-acorn',
    'The Hollow Acorn',
    'moor-van',
    moor,
    weekly(SAT, { 'foolscap-firkin': 2 }),
    fortnightly(SAT, 2, { 'foolscap-firkin-gravity': 2 }),
  ),
  regular('lost-umbrella', 'The Lost Umbrella', 'moor-van', moor, weekly(FRI, { 'copperplate-firkin': 2 }, 3)),
  regular('second-kettle', 'The Second Kettle', 'moor-van', moor, weekly(SAT, { 'marginalia-firkin': 1 })),
  regular('bellrope', 'The Bellrope', 'moor-van', moor, weekly(SAT, { 'foolscap-firkin-gravity': 1 }, 3)),
  regular(
    'marble-otter',
    'The Marble Otter',
    'harbour-van',
    harbour,
    weekly(FRI, { 'dog-ear-firkin': 3, 'sealing-wax-firkin': 2 }, 5),
  ),
  regular(
    'barnacle-bell',
    'The Barnacle & Bell',
    'harbour-van',
    harbour,
    weekly(FRI, { 'dog-ear-firkin': 2, 'night-post-firkin': 2 }),
  ),
  regular('brass-periwinkle', 'The Brass Periwinkle', 'harbour-van', harbour, weekly(THU, { 'dog-ear-keg-30': 4 }, 3)),
  regular(
    'sleeping-signalman',
    'The Sleeping Signalman',
    'harbour-van',
    harbour,
    weekly(SAT, { 'dog-ear-firkin': 2, 'sealing-wax-firkin': 2 }),
  ),
  regular(
    'honest-ladder',
    'The Honest Ladder',
    'harbour-van',
    harbour,
    weekly(THU, { 'night-post-firkin': 2, 'dog-ear-keg-30': 3 }, 3),
  ),
  regular('cloudy-teapot', 'The Cloudy Teapot', 'harbour-van', harbour, weekly(SAT, { 'sealing-wax-pin': 2 }, 3)),
  regular('saltings-club', 'Saltings Rowing Club', 'harbour-van', harbour, weekly(FRI, { 'dog-ear-firkin': 3 })),
  regular(
    'wayward-goose',
    'The Wayward Goose',
    'island-boat',
    island,
    weekly(SAT, { 'dog-ear-firkin': 2 }),
    fortnightly(SAT, 2, { 'night-post-keg-30': 2 }),
  ),
  regular(
    'thirsty-cartographer',
    'The Thirsty Cartographer',
    'island-boat',
    island,
    weekly(SAT, { 'sealing-wax-firkin': 1 }),
  ),
  regular('ebbing-clock', 'The Ebbing Clock', 'island-boat', island, weekly(SAT, { 'dog-ear-firkin': 2 })),
]

const EVENTS: readonly { name: string; account: Account }[] = [
  {
    // Sells on what it does not pour itself: wants four weeks of life, which only a fresh fill has.
    name: 'Lower Mill Catering',
    account: { id: 'lower-mill-catering', routeIds: ['town-dray'], returnDays: 10, minDaysOnSale: 28 },
  },
  {
    name: 'Quillhaven Beer Festival',
    account: { id: 'beer-festival', routeIds: ['town-dray'], returnDays: 5, settleDays: 1, maxEarlyDays: 3 },
  },
  { name: 'Harbour Regatta', account: { id: 'regatta', routeIds: ['harbour-van'], returnDays: 6, maxEarlyDays: 3 } },
  { name: 'Moor Sheepdog Trials', account: { id: 'sheepdog-trials', routeIds: ['moor-van'], returnDays: 7 } },
]

/** Every account of the demo. */
export const DEMO_ACCOUNTS: readonly Account[] = [...REGULARS, ...EVENTS].map((entry) => entry.account)

export const ACCOUNT_NAMES: Names = Object.fromEntries(
  [...REGULARS, ...EVENTS].map(({ name, account }, index) => [account.id, { name, externalRef: `C-${101 + index}` }]),
)
