// The steps by which decisions come to stay (F1), and cease to: each is part of an undo log.
import { type Batch, runKey, type Surplus, type Transfer } from '../model/batch.ts'
import { refresh } from '../model/refresh.ts'
import type { UndoLog } from '../model/undo-log.ts'

/** Keeps a brew in the plan, drawn or not; or no longer. */
export function holdBrew(log: UndoLog, brew: Batch, fixed: boolean): void {
  const set = (to: boolean) => {
    brew.fixed = to
    refresh(log.state, brew)
  }
  log.also(
    () => set(fixed),
    () => set(!fixed),
  )
}

/** Lets a run that stands not be changed any more, or lets it be changed again. */
export function holdRun(log: UndoLog, at: Pick<Surplus, 'batch' | 'filler' | 'day' | 'pack'>, fixed: boolean): void {
  const key = runKey(log.state.model, at.filler, at.day, at.pack)
  // A run is another object once it was gone.
  const set = (to: boolean) => {
    const run = at.batch.runAt.get(key)
    if (run) run.fixed = to
  }
  log.also(
    () => set(fixed),
    () => set(!fixed),
  )
}

/** Makes a transfer, of given units, that may not change. A brew that it moves stays, drawn or not. */
export function holdTransfer(log: UndoLog, batch: Batch, { on, bright }: Transfer, given: number): void {
  changeTransfer(log, batch, { transferOn: on, bright, transferFixed: true, transferGiven: given }, 1)
}

/** Lets such a transfer be changed again; where nothing needs it, it is gone. */
export function freeTransfer(log: UndoLog, batch: Batch): void {
  const { transferOn, bright } = batch
  changeTransfer(log, batch, { transferOn, bright, transferFixed: false, transferGiven: -1 }, -1)
}

type TransferFields = Pick<Batch, 'transferOn' | 'bright' | 'transferFixed' | 'transferGiven'>

function changeTransfer(log: UndoLog, batch: Batch, after: TransferFields, holds: 1 | -1): void {
  const { transferOn, bright, transferFixed, transferGiven } = batch
  const set = (fields: TransferFields, more: number) => {
    Object.assign(batch, fields)
    batch.transferHolds += more
    refresh(log.state, batch)
  }
  log.also(
    () => set(after, holds),
    () => set({ transferOn, bright, transferFixed, transferGiven }, -holds),
  )
}
