// The kinds of set-up that say what beer is there when the records begin, as setup-kinds.ts has the others.
import { type Kind, ref } from './setup-kind.ts'

export const BEER_KINDS: Kind[] = [
  {
    kind: 'Batch',
    read: 'externalRef code litres volume(unit: HECTOLITRE) readyAt brewedOn transferredOn openedOn primable quarantined emptiedOn beer { externalRef } vessel { externalRef }',
    create: {
      externalRef: 'NEW-BATCH',
      code: 'N1',
      beer: ref('NEW-BEER'),
      vessel: ref('NEW-FV'),
      litres: 1500,
      readyAt: '2027-02-27T10:00:00-05:00',
      brewedOn: '2027-02-15',
    },
    shown: { volume: 15, readyAt: '2027-02-27T15:00:00.000Z', primable: true, quarantined: false, emptiedOn: null },
    change: { litres: 1400, openedOn: '2027-02-28', quarantined: true },
    changed: { litres: 1400, volume: 14, openedOn: '2027-02-28', quarantined: true },
    retired: false,
  },
  {
    kind: 'StockLot',
    read: 'externalRef code quantity filledOn readyOn bestBefore quarantined site { externalRef } pack { externalRef } batch { externalRef }',
    create: {
      externalRef: 'NEW-LOT',
      code: 'L1',
      site: ref('NEW-SITE'),
      pack: ref('NEW-PACK'),
      batch: ref('NEW-BATCH'),
      quantity: 8,
      filledOn: '2027-02-20',
      readyOn: '2027-02-25',
      bestBefore: '2027-04-03',
    },
    shown: { batch: ref('NEW-BATCH'), quarantined: false },
    change: { quantity: 0, batch: null },
    changed: { quantity: 0, batch: null },
    retired: false,
  },
]
