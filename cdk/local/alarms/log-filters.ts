/** The metric filters of the template: a line of a log counts where it holds the words of a filter. */
import type { LogLine } from '../functions/functions.ts'
import type { Deployed } from '../template/template.ts'
import type { MetricName, Metrics } from './metrics.ts'

interface Filter {
  readonly functionName: string
  readonly words: string
  readonly metric: MetricName
}

export function logFilters(deployed: Deployed, metrics: Metrics): (line: LogLine) => void {
  const filters = filtersOf(deployed)
  return ({ functionName, text }) => {
    for (const one of filters)
      if (one.functionName === functionName && text.includes(one.words)) metrics.count(one.metric, 1)
  }
}

function filtersOf(deployed: Deployed): Filter[] {
  return deployed.all('AWS::Logs::MetricFilter').flatMap(({ id, properties }) => {
    const { FilterPattern, LogGroupName, MetricTransformations } = properties
    const words = /^"([^"]+)"$/.exec(FilterPattern)?.[1]
    if (words === undefined) throw new Error(`${id}: the local stack knows filters for words in quotation marks only`)
    const writers = deployed
      .all('AWS::Lambda::Function')
      .filter(({ properties: { LoggingConfig } }) => LoggingConfig?.LogGroup === LogGroupName)
    if (writers.length === 0) throw new Error(`${id}: no function writes to ${LogGroupName}`)
    const [{ MetricNamespace: namespace, MetricName: name }] = MetricTransformations
    return writers.map((writer) => ({ functionName: writer.name, words, metric: { namespace, name, dimensions: [] } }))
  })
}
