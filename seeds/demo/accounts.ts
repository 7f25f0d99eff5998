// The demo's accounts, all invented: pubs and bars in town, in the hills, along the coast and on an island, a
// wholesale depot, a caterer and three events; and what the regular ones order, week by week.
import type { AccountDocument } from '../../src/planner/documents/index.ts'
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
  account: AccountDocument
  habits: readonly Habit[]
}

/** What an account has beside its route and habits. */
type Rules = Omit<AccountDocument, 'id' | 'routeIds'>

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
const hills = { returnDays: 14, maxEarlyDays: 6 }
const coast = { returnDays: 12, maxEarlyDays: 4 }
const island = { returnDays: 15, maxEarlyDays: 6 }

/** The accounts that order week by week. */
export const REGULARS: readonly Regular[] = [
  regular(
    'inky-gatepost',
    'The Inky Gatepost',
    'town-dray',
    town,
    weekly(FRI, { 'foolscap-firkin': 3, 'copperplate-firkin': 2 }),
  ),
  regular(
    'tin-rhubarb',
    'The Tin Rhubarb',
    'town-dray',
    town,
    weekly(THU, { 'foolscap-firkin': 2, 'marginalia-keg-50': 2 }, 3),
  ),
  regular(
    'sundial-saucepan',
    'The Sundial & Saucepan',
    'town-dray',
    town,
    weekly(FRI, { 'copperplate-kilderkin': 1, 'foolscap-pin': 2 }, 3),
  ),
  regular(
    'drowsy-turnstile',
    'The Drowsy Turnstile',
    'town-dray',
    town,
    weekly(SAT, { 'foolscap-firkin': 4 }),
    fortnightly(SAT, 2, { 'blotter-firkin': 2 }),
  ),
  regular(
    'copper-colander',
    'The Copper Colander',
    'town-dray',
    town,
    weekly(FRI, { 'marginalia-firkin': 3, 'deckle-keg-50': 2 }, 3),
  ),
  regular(
    'thirteenth-comma',
    'Bar Thirteenth Comma',
    'town-dray',
    { ...town, receivesWeekdays: [1, 2, 3, 4, 5] },
    weekly(THU, { 'deckle-keg-50': 3, 'marginalia-keg-30': 4 }, 5),
  ),
  regular(
    'wandering-wardrobe',
    'The Wandering Wardrobe',
    'town-dray',
    town,
    weekly(FRI, { 'copperplate-firkin': 3, 'blotter-firkin': 2 }, 3),
  ),
  regular(
    'gilded-wheelbarrow',
    'The Gilded Wheelbarrow',
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
    'patient-doorstop',
    'The Patient Doorstop',
    'town-dray',
    town,
    weekly(FRI, { 'copperplate-firkin': 2, 'marginalia-firkin': 2 }, 3),
  ),
  regular(
    'moth-semicolon',
    'The Moth & Semicolon',
    'town-dray',
    town,
    weekly(THU, { 'foolscap-firkin': 3, 'blotter-firkin': 1 }, 3),
  ),
  regular(
    'upside-down-bookcase',
    'The Upside-Down Bookcase',
    'town-dray',
    town,
    weekly(TUE, { 'marginalia-keg-50': 3 }),
  ),
  regular(
    'hatstand-haddock',
    'The Hatstand & Haddock',
    'town-dray',
    town,
    weekly(FRI, { 'foolscap-firkin': 2, 'blotter-keg-30': 3 }, 3),
  ),
  regular(
    'velvet-spanner',
    'The Velvet Spanner',
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
    'wexenfold-depot',
    'Wexenfold Drinks Depot',
    'town-dray',
    { returnDays: 20, minDaysOnSale: 21, receivesWeekdays: [1, 2, 3, 4, 5] },
    weekly(TUE, { 'foolscap-firkin': 8, 'copperplate-firkin': 3, 'deckle-keg-50': 5 }),
  ),
  regular(
    'ninth-furrow',
    'The Ninth Furrow',
    'hill-van',
    hills,
    weekly(FRI, { 'foolscap-firkin': 2, 'copperplate-firkin': 1 }, 3),
  ),
  regular(
    'hollow-teaspoon',
    'The Hollow Teaspoon',
    'hill-van',
    hills,
    weekly(SAT, { 'foolscap-firkin': 2 }),
    fortnightly(SAT, 2, { 'foolscap-firkin-gravity': 2 }),
  ),
  regular('mislaid-umbrella', 'The Mislaid Umbrella', 'hill-van', hills, weekly(FRI, { 'copperplate-firkin': 2 }, 3)),
  regular('second-best-kettle', 'The Second-Best Kettle', 'hill-van', hills, weekly(SAT, { 'marginalia-firkin': 1 })),
  regular(
    'frayed-bellrope',
    'The Frayed Bellrope',
    'hill-van',
    hills,
    weekly(SAT, { 'foolscap-firkin-gravity': 1 }, 3),
  ),
  regular(
    'startled-sextant',
    'The Startled Sextant',
    'coast-van',
    coast,
    weekly(FRI, { 'dog-ear-firkin': 3, 'sealing-wax-firkin': 2 }, 5),
  ),
  regular(
    'barnacle-bannister',
    'The Barnacle & Bannister',
    'coast-van',
    coast,
    weekly(FRI, { 'dog-ear-firkin': 2, 'night-post-firkin': 2 }),
  ),
  regular('brass-periwinkle', 'The Brass Periwinkle', 'coast-van', coast, weekly(THU, { 'dog-ear-keg-30': 4 }, 3)),
  regular(
    'sleeping-semaphore',
    'The Sleeping Semaphore',
    'coast-van',
    coast,
    weekly(SAT, { 'dog-ear-firkin': 2, 'sealing-wax-firkin': 2 }),
  ),
  regular(
    'honest-ladder',
    'The Honest Ladder',
    'coast-van',
    coast,
    weekly(THU, { 'night-post-firkin': 2, 'dog-ear-keg-30': 3 }, 3),
  ),
  regular('cloudy-teapot', 'The Cloudy Teapot', 'coast-van', coast, weekly(SAT, { 'sealing-wax-pin': 2 }, 3)),
  regular('hithelow-club', 'Hithelow Rowing Club', 'coast-van', coast, weekly(FRI, { 'dog-ear-firkin': 3 })),
  regular(
    'wayward-gangplank',
    'The Wayward Gangplank',
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

const EVENTS: readonly { name: string; account: AccountDocument }[] = [
  {
    // Sells on what it does not pour itself: wants four weeks of life, which only a fresh fill has.
    name: 'Marrowfen Catering',
    account: { id: 'marrowfen-catering', routeIds: ['town-dray'], returnDays: 10, minDaysOnSale: 28 },
  },
  {
    // Takes beer that was filled for it, and nothing from the store.
    name: 'Quillhaven Beer Festival',
    account: {
      id: 'beer-festival',
      routeIds: ['town-dray'],
      returnDays: 5,
      settleDays: 1,
      maxEarlyDays: 3,
      minDaysOnSale: 28,
    },
  },
  { name: 'Hithelow Regatta', account: { id: 'regatta', routeIds: ['coast-van'], returnDays: 6, maxEarlyDays: 3 } },
  { name: 'Whinfallow Sheepdog Trials', account: { id: 'sheepdog-trials', routeIds: ['hill-van'], returnDays: 7 } },
]

/** Every account of the demo. */
export const DEMO_ACCOUNTS: readonly AccountDocument[] = [...REGULARS, ...EVENTS].map((entry) => entry.account)

export const ACCOUNT_NAMES: Names = Object.fromEntries(
  [...REGULARS, ...EVENTS].map(({ name, account }, index) => [account.id, { name, externalRef: `C-${101 + index}` }]),
)
