/**
 * `npm run runbook`: cdk/RUNBOOK.md from the template, so that each alarm has its page and no page outlives its alarm.
 */
import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { quarterturnApp } from './app.ts'

interface Metric {
  readonly Namespace?: string
  readonly MetricName?: string
}

export interface AlarmProperties extends Metric {
  readonly AlarmDescription: string
  readonly ComparisonOperator: string
  readonly EvaluationPeriods: number
  readonly Period?: number
  readonly Threshold: number
  readonly TreatMissingData: string
  readonly Metrics?: readonly {
    readonly Expression?: string
    readonly Label?: string
    readonly MetricStat?: { readonly Metric: Metric; readonly Period: number }
  }[]
}

interface Resource {
  readonly Type: string
  readonly Properties: AlarmProperties
  readonly Metadata?: { readonly 'aws:cdk:path'?: string }
}

const head = `# When an alarm rings

Written by \`npm run runbook\` from the alarms of the template: change the words where the alarm is made. Each mail of
an alarm says the same two sentences. The service supports and never replaces the employer’s procedures, local rules and
qualified people: until it is clear what was missed, call whoever may have a stick in hand.
`

/** \`resources\`: those of the synthesised template. */
export function runbookOf(resources: Readonly<Record<string, Resource>>): string {
  const alarms = Object.entries(resources).filter(([, { Type }]) => Type === 'AWS::CloudWatch::Alarm')
  const pages = alarms.map(([id, { Properties }]) => pageOf(id, Properties)).sort()
  return [head, ...pages].join('\n')
}

/** The name without what the template adds to it. */
export const alarmName = (id: string): string => id.replace(/[0-9A-F]{8}$/, '')

function pageOf(id: string, alarm: AlarmProperties): string {
  const [, means = '', first = ''] =
    /^What it means for people: (.*) First thing to do: (.*)$/.exec(alarm.AlarmDescription) ?? []
  return [
    `## ${alarmName(id)}`,
    '',
    `**What it means for people:** ${means}`,
    '',
    `**First thing to do:** ${first}`,
    '',
    `**It rings** ${whenItRings(alarm)}`,
    '',
    `**It is over** ${whenItIsOver(alarm)}`,
    '',
  ].join('\n')
}

function whenItRings({
  Metrics,
  MetricName,
  Namespace,
  Period,
  EvaluationPeriods,
  Threshold,
  ComparisonOperator,
  TreatMissingData,
}: AlarmProperties): string {
  const sum = Metrics?.find(({ Expression }) => Expression !== undefined)
  const parts = Metrics?.flatMap(({ MetricStat }) => MetricStat ?? []) ?? []
  const minutes = (Period ?? parts[0]?.Period ?? 300) / 60
  const heard =
    sum === undefined
      ? `\`${Namespace} ${MetricName}\``
      : `\`${sum.Expression}\` of ` +
        `${parts.map(({ Metric }) => `\`${Metric.Namespace} ${Metric.MetricName}\``).join(', ')}`
  const times =
    EvaluationPeriods === 1
      ? `within ${minutes} minutes`
      : `${EvaluationPeriods} times in a row, each within ${minutes} minutes`
  const silence = TreatMissingData === 'breaching' ? ', or where nothing is counted at all' : ''
  return `when ${heard} is ${comparisons[ComparisonOperator]} ${Threshold} ${times}${silence}.`
}

const comparisons: Readonly<Record<string, string>> = {
  GreaterThanOrEqualToThreshold: 'at least',
  GreaterThanThreshold: 'more than',
  LessThanThreshold: 'less than',
}

function whenItIsOver({ Metrics }: AlarmProperties): string {
  if (Metrics?.some(({ Expression }) => Expression?.startsWith('DIFF')))
    return 'by itself after five minutes, though what arrived still lies there: read it, then remove it.'
  return (
    'by itself once a period passes without it. Look in the log, or on the dashboard, whether the work was caught ' +
    'up.'
  )
}

export const runbookFile = join(import.meta.dirname, 'RUNBOOK.md')

if (import.meta.main) {
  const app = await quarterturnApp({ checked: false })
  const { template } = app.synth().getStackByName('Quarterturn')
  writeFileSync(runbookFile, runbookOf(template.Resources))
}
