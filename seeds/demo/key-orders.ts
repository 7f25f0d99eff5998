// The orders that show one situation each, with the arithmetic that makes it so whatever the weekday of today.
import type { LocalDate, OrderLineDocument } from '../../src/planner/documents/index.ts'
import { addDays } from '../../src/planner/documents/index.ts'
import { firstOn, firstServe, firstServeOfReady, isBrought } from './calendar.ts'
import { nextBrewReadyOn, readyDays } from './cellar.ts'
import { festivalFillDay } from './festival.ts'
import { hithelowFirkinsCleanOn } from './sites.ts'
import { packOf, wayTo } from './ways.ts'

/** An order of one line; `fromStock` says whether the demo's stock has containers for it. */
export interface KeyOrder {
  orderId: string
  note: string
  fromStock: boolean
  line: Omit<OrderLineDocument, 'id' | 'orderId'>
}

/** What the key orders show, by order id. */
export const KEY_ORDERS = {
  fromStock: 'SLIP-2001',
  fromReadyBatch: 'SLIP-2002',
  fromFermentingBatch: 'SLIP-2003',
  onlyByNewBrew: 'SLIP-2004',
  lateTankNotReady: 'SLIP-2005',
  lateCleanFirkins: 'SLIP-2006',
  festival: 'SLIP-2007',
  lateFillerMinutes: 'SLIP-2008',
  lateRoute: 'SLIP-2009',
  lateQuarantine: 'SLIP-2010',
  unservedPrimingWindow: 'SLIP-2011',
  unservedNoTimeToBrew: 'SLIP-2012',
  unservedVanTooSmall: 'SLIP-2013',
  splitDepot: 'SLIP-2014',
} as const

const SATURDAY = 6

/** The key orders, by number. */
export function keyOrders(today: LocalDate): KeyOrder[] {
  const days = new ServeDays(today)
  const orders = [...servedOrders(days), ...lateOrders(days), ...fillerOrders(days), ...unservedOrders(days)]
  return orders.sort((a, b) => a.orderId.localeCompare(b.orderId))
}

/** From when on accounts can have beer that is filled, in stock or brought on a weekday. */
class ServeDays {
  readonly ready: ReturnType<typeof readyDays>
  constructor(readonly today: LocalDate) {
    this.ready = readyDays(today)
  }
  /** The first day on which the account can serve the pack if it is filled from a day on. */
  filled(accountId: string, packId: string, fillFrom: LocalDate): LocalDate {
    return firstServe(fillFrom, packOf(packId).pack, wayTo(accountId, this.today))
  }
  /** The same for containers that are in stock today. */
  inStock(accountId: string, packId: string): LocalDate {
    return firstServeOfReady(this.today, packOf(packId).pack, wayTo(accountId, this.today))
  }
  /** The first such weekday from a day on for which a route brings the pack in time. */
  brought(accountId: string, packId: string, from: LocalDate, weekday: number): LocalDate {
    const day = firstOn(from, [weekday])
    const comes = isBrought(day, packOf(packId).pack, wayTo(accountId, this.today))
    return comes ? day : this.brought(accountId, packId, addDays(day, 1), weekday)
  }
}

function order(orderId: string, note: string, line: KeyOrder['line'], options: { fromStock?: boolean } = {}): KeyOrder {
  return { orderId, note, fromStock: options.fromStock ?? false, line }
}

/** Orders that are served on time: from stock, a ready or a fermenting batch, a new brew, in two deliveries. */
function servedOrders(days: ServeDays): KeyOrder[] {
  return [
    // Leaves with the next van, settles a day. Pins filled today would condition for two days: only stock can serve it.
    order(
      KEY_ORDERS.fromStock,
      'The next van; pins are in the store',
      promised({
        accountId: 'cloudy-teapot',
        packId: 'sealing-wax-pin',
        quantity: 3,
        serveOn: days.inStock('cloudy-teapot', 'sealing-wax-pin'),
      }),
      { fromStock: true },
    ),
    // Foolscap has stood ready for some days; pins filled within three days condition for one and settle for one.
    order(
      KEY_ORDERS.fromReadyBatch,
      'Eight pins for the snug',
      promised({
        accountId: 'gilded-wheelbarrow',
        packId: 'foolscap-pin',
        quantity: 8,
        serveOn: days.filled('gilded-wheelbarrow', 'foolscap-pin', addDays(days.today, 3)),
      }),
    ),
    // The only Blotter is still on its dry hops, and none is in stock. Ready day + 6 + 1 and the dray's days is the
    // first serve day; this order leaves two days more.
    order(
      KEY_ORDERS.fromFermentingBatch,
      'As soon as the Black IPA is out',
      promised({
        accountId: 'moth-semicolon',
        packId: 'blotter-firkin',
        quantity: 4,
        serveOn: addDays(days.filled('moth-semicolon', 'blotter-firkin', days.ready.blotter), 2),
      }),
    ),
    // No Porter stands anywhere. 12 days to the ready day + 4 + 1 = 17: there is time for a brew; 14 firkins make a small one.
    order(KEY_ORDERS.onlyByNewBrew, 'The season’s Porter', {
      accountId: 'wexenfold-depot',
      packId: 'postscript-firkin',
      quantity: 14,
      serveOn: firstOn(addDays(days.today, 29), [5]),
      priority: 1,
    }),
    // 18 firkins that may come in two deliveries (A3).
    order(KEY_ORDERS.splitDepot, 'May come in two deliveries', {
      accountId: 'wexenfold-depot',
      packId: 'foolscap-firkin',
      quantity: 18,
      serveOn: firstOn(addDays(days.today, 17), [3]),
      splittable: true,
    }),
  ]
}

/** Orders that are late, each for one reason. */
function lateOrders(days: ServeDays): KeyOrder[] {
  return [
    // Two days before the first day on which the Blotter can be served: the tank is not ready in time (T1, V4).
    order(
      KEY_ORDERS.lateTankNotReady,
      'Promised before the dry hops took longer',
      promised({
        accountId: 'wandering-wardrobe',
        packId: 'blotter-firkin',
        quantity: 1,
        serveOn: addDays(days.filled('wandering-wardrobe', 'blotter-firkin', days.ready.blotter), -2),
      }),
    ),
    // Dog Ear stands ready, 20 firkins are wanted within eight days, but 8 are clean until day 9, and what is in stock
    // is promised to others (C1). Wanted a van before one could bring what is filled when more are clean.
    order(KEY_ORDERS.lateCleanFirkins, 'For the regatta; a later day will do', {
      accountId: 'regatta',
      packId: 'dog-ear-firkin',
      quantity: 20,
      serveOn: beforeMoreAreClean(days),
    }),
    // The day before the first day on which the Tuesday van can bring it (B2); it is in stock.
    order(
      KEY_ORDERS.lateRoute,
      'A day before the van can make it',
      {
        accountId: 'mislaid-umbrella',
        packId: 'foolscap-firkin',
        quantity: 2,
        serveOn: addDays(days.inStock('mislaid-umbrella', 'foolscap-firkin'), -1),
      },
      { fromStock: true },
    ),
    // The only Stout in a tank is kept back (V8), and stock is promised; three days before a new brew could be served.
    order(KEY_ORDERS.lateQuarantine, 'Waits for the Stout', {
      accountId: 'barnacle-bannister',
      packId: 'night-post-firkin',
      quantity: 3,
      serveOn: addDays(
        days.filled('barnacle-bannister', 'night-post-firkin', nextBrewReadyOn('night-post', 'hithelow', days.today)),
        -3,
      ),
    }),
  ]
}

/** The festival, and an order for the same day for which the filler has no minutes left. */
function fillerOrders(days: ServeDays): KeyOrder[] {
  const festivalOn = days.filled('beer-festival', 'copperplate-firkin', festivalFillDay(days.today))
  return [
    // The festival: 22 firkins of the batch that is ready on Wednesday; 2 days of conditioning, Friday's dray, a day of
    // settling. Thursday's firkins would be fit on Saturday, when no dray leaves (near holidays, see festival.ts).
    // 20 + 22 x 1.75 = 58.5 of Wednesday's 90 minutes.
    order(
      KEY_ORDERS.festival,
      'The day on which the beer festival opens',
      promised({
        accountId: 'beer-festival',
        packId: 'copperplate-firkin',
        quantity: 22,
        serveOn: festivalOn,
        latestServeOn: addDays(festivalOn, 1),
        priority: 1,
      }),
    ),
    // 22 more for the same day: 44 firkins, the fill day's minutes are enough for 40 (L1).
    order(KEY_ORDERS.lateFillerMinutes, 'For the marquee; some days later will do', {
      accountId: 'marrowfen-catering',
      packId: 'copperplate-firkin',
      quantity: 22,
      serveOn: festivalOn,
    }),
  ]
}

/** Orders that nothing can serve. */
function unservedOrders(days: ServeDays): KeyOrder[] {
  return [
    // The Mild in the tank has been ready for 14 days or more, its yeast was fit for priming for 10 (V7). A new brew:
    // 8 days to the ready day + 4 + 1 = day 13 at the earliest, wanted until day 10.
    order(KEY_ORDERS.unservedPrimingWindow, 'On gravity behind the bar, or not at all', {
      accountId: 'startled-sextant',
      packId: 'sealing-wax-pin-gravity',
      quantity: 2,
      serveOn: addDays(days.today, 8),
      latestServeOn: addDays(days.today, 10),
    }),
    // No Porter stands anywhere, and a brew of today takes 17 days to the glass; wanted until day 12 (B5).
    order(KEY_ORDERS.unservedNoTimeToBrew, 'Porter for a birthday', {
      accountId: 'copper-colander',
      packId: 'postscript-firkin',
      quantity: 2,
      serveOn: addDays(days.today, 9),
      latestServeOn: addDays(days.today, 12),
    }),
    // 30 firkins are 1,227 L, the hill van carries 1,200 L a day, and the order may not be split (D1, A3).
    order(KEY_ORDERS.unservedVanTooSmall, 'One delivery to the show field', {
      accountId: 'sheepdog-trials',
      packId: 'foolscap-firkin',
      quantity: 30,
      serveOn: days.brought('sheepdog-trials', 'foolscap-firkin', addDays(days.today, 16), SATURDAY),
    }),
  ]
}

/** A day on which the regatta wants firkins before enough of them are clean. */
function beforeMoreAreClean(days: ServeDays): LocalDate {
  const { today } = days
  const serve = (from: LocalDate) => days.filled('regatta', 'dog-ear-firkin', from)
  const onceMoreAreClean = serve(hithelowFirkinsCleanOn(today))
  // At most nine days before: 20 firkins that are ten days late cost as much as 20 that are not served (2 a day, 20).
  const isLateOnly = (on: LocalDate) => on < onceMoreAreClean && on >= addDays(onceMoreAreClean, -9)
  return [3, 4, 5, 2, 1, 0].map((from) => serve(addDays(today, from))).find(isLateOnly) ?? serve(today)
}

/** A line that was promised for the day on which it is wanted. */
function promised(line: KeyOrder['line']): KeyOrder['line'] {
  return { ...line, promisedOn: line.serveOn }
}
