// B6, lifted to explain a line: it may leave on every day on which its routes run, whenever it was placed.
import { element } from '../../model/element.ts'
import type { LineModel, Model } from '../../model/model.ts'
import { dispatchOptions } from '../../model/options.ts'
import type { Relaxation } from '../relaxation.ts'
import { onlyOne, routesOf } from '../relaxation-scope.ts'

/** The line as if placed in time for every day of every route; the line itself where no cut-off keeps it from any. */
export function withoutCutOffs(model: Model, line: LineModel): LineModel {
  const { routes } = element(model.accounts, line.account)
  if (line.placedAt === undefined || !routes.some((route) => element(model.routes, route).cutOff)) return line
  const lifted = { ...line, placedAt: undefined }
  const options = dispatchOptions(model, lifted)
  return options.length === line.options.length ? line : { ...lifted, options }
}

export const cutOffs: Relaxation = {
  rule: 'B6',
  matters: ({ model }, line) => withoutCutOffs(model, line) !== line,
  lift: (log, line) => log.swap(line, 'options', withoutCutOffs(log.state.model, line).options),
  reason: (state, line) => ({
    rule: 'B6',
    code: 'AFTER_CUT_OFF',
    resource: onlyOne(
      'ROUTE',
      routesOf(state, line).filter(({ cutOff }) => cutOff),
    ),
  }),
}
