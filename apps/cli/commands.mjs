// What the command line knows, as plain data: read by --help without loading the engine, by the parser, and by tests.

/** Options that every verb takes. */
const EVERY = {
  json: {
    type: 'boolean',
    help: 'print the data as JSON and nothing else: SI units, engine signs, null where missing',
  },
  help: { type: 'boolean', short: 'h', help: 'print this help' },
};

const STUDY = {
  study: {
    type: 'string',
    value: 'folder',
    help: 'the study; left out: the folder you are in or one above it, else the demo study',
  },
};

/** What the study is looked at with, where its defaults are not meant. */
const CHOICE = {
  leg: { type: 'string', value: 'name', help: 'another leg of the study, such as tern-50, than its default' },
  wearer: { type: 'string', value: 'code', help: 'another wearer than its default' },
};

const CONTROLLER = {
  controller: { type: 'string', value: 'name', help: 'another controller of the study than its default' },
};

const JOINT = { joint: { type: 'string', value: 'joint', help: 'knee or ankle' } };

/** Of a walk. */
const STEP = { step: { type: 'string', value: 't', help: 'of the integration; left out: 0.25ms' } };
const SPEED = {
  speed: { type: 'string', value: 'v', help: 'such as 1.1m/s, which is taken where it is left out' },
};

export const EXIT_CODES = [
  [0, 'done'],
  [1, 'a fault in the input, in a file or on the disk; it is printed with its place and how to mend it'],
  [2, 'the command was not understood'],
  [3, 'with --strict: a requirement is not met'],
  [70, 'a bug in Striderule'],
  [130, 'stopped by Ctrl-C'],
];

export const CAUTION =
  'Not a medical device. Before a person stands on a leg: tethered bench tests, emergency stop, overhead harness, ' +
  'ethics board, licensed prosthetist, the standards and local codes that apply.';

export const COMMANDS = {
  demand: {
    summary: 'what human strides ask of this leg',
    verbs: {
      show: {
        summary: 'moment, speed, power and work per task and joint; one task over the stride; one instant',
        usage: 'demand show [--task id] [--joint knee|ankle|hip] [--at percent] [--csv | --json]',
        positionals: [0, 0],
        options: {
          ...STUDY,
          ...CHOICE,
          task: { type: 'string', value: 'id', help: 'one task, drawn over the stride' },
          joint: { type: 'string', value: 'joint', help: 'hip, knee or ankle' },
          at: {
            type: 'string',
            value: 'percent',
            help: 'values at this instant, 0 to 100 in half per cents; needs --task',
          },
          csv: { type: 'boolean', help: 'the same table as CSV; with --task, one row each half per cent' },
          ...EVERY,
        },
        examples: [
          ['demand show', 'every task of the study'],
          ['demand show --task walk-natural', 'one task, all joints, on one stride axis'],
          ['demand show --task walk-natural --joint ankle --at 46', 'the ankle at push-off'],
          ['demand show --task walk-natural --csv > walk.csv', 'the curves, for a plot of your own'],
        ],
        notes:
          'Moments are shown as the literature prints them: extensor and plantarflexor positive. In stance they are the ' +
          "scaled human moment, in swing the dynamics of this leg's own segments.",
      },
      import: {
        summary: "make a task of the laboratory's own strides",
        usage: 'demand import <file.csv> --recipe <recipe.yaml> --id <task> [--study folder] [--replace]',
        positionals: [1, 1],
        wants: 'the CSV file',
        required: ['recipe', 'id'],
        options: {
          recipe: {
            type: 'string',
            value: 'file',
            help: 'which column is what, in which unit and sign; kept beside the task',
          },
          id: { type: 'string', value: 'task', help: 'id of the new task, such as own-walk-1' },
          title: { type: 'string', value: 'text', help: 'its title; left out: made of the id' },
          outside: {
            type: 'boolean',
            help: 'leave a large original where it is; the task names its place instead of a copy',
          },
          replace: { type: 'boolean', help: 'write over a task of this id' },
          ...STUDY,
          ...EVERY,
        },
        examples: [
          [
            'demand import strides.csv --recipe recipe.yaml --id own-walk-1 --study my-leg',
            'reads, checks, averages, smooths, writes tasks/own-walk-1.yaml',
          ],
        ],
        notes:
          'The CSV is copied beside the task, untouched. Ctrl-C stops and leaves the study as it was. Checks that fail ' +
          'say what the data look like: degrees for radians, a flipped sign, a stride that does not close.',
      },
    },
  },
  drive: {
    summary: 'what motor and ratio make of it',
    verbs: {
      check: {
        summary: 'reflected inertia, back-driving, peak and RMS torque and current, margins per task',
        usage: 'drive check [--joint knee|ankle] [--task id] [--csv | --json]',
        positionals: [0, 0],
        options: {
          ...STUDY,
          ...CHOICE,
          ...JOINT,
          task: { type: 'string', value: 'id', help: 'one task' },
          csv: { type: 'boolean', help: 'the table of tasks as CSV' },
          ...EVERY,
        },
        examples: [
          ['drive check', 'both joints, every task'],
          ['drive check --joint ankle --json', 'one joint, for a script'],
          ['drive check --leg tern-50', 'the same with another leg of the study'],
        ],
        notes: 'Hints marked COMMON PRACTICE are facts of the trade, not limits.',
      },
      heat: {
        summary:
          'winding and housing temperature per task, over the schedule, standing still and at peak torque',
        usage: 'drive heat [--joint knee|ankle] [--json]',
        positionals: [0, 0],
        options: {
          ...STUDY,
          ...CHOICE,
          ...JOINT,
          ...EVERY,
        },
        examples: [
          ['drive heat', 'both joints over the schedule'],
          ['drive heat --joint knee --json', 'one joint with its whole course, for a script'],
        ],
        notes:
          'Air, winding limit and surface limit come from the leg file; a surface limit is your own, read from the ' +
          'standard that applies. Tasks of which only peaks are published make no heat here and are named.',
      },
      energy: {
        summary:
          'energy per task and where it goes, the bus as it sags, what limits charging, range of one charge',
        usage: 'drive energy [--task id] [--json]',
        positionals: [0, 0],
        options: {
          ...STUDY,
          ...CHOICE,
          task: { type: 'string', value: 'id', help: 'one task, joint by joint' },
          ...EVERY,
        },
        examples: [
          ['drive energy', 'every task with a curve'],
          ['drive energy --task walk-natural', 'one stride, joint by joint'],
          ['drive energy --leg tern-9 --json', 'another leg, with its curves, for a script'],
        ],
        notes:
          'Both joints share one bus: their powers are summed before the pack sees them. Pack, bridge and capacity come ' +
          'from the leg file; what it does not say is asked for by name.',
      },
      powerloss: {
        summary: 'what the unpowered joints do at every part of the stride, and the bus when the pack opens',
        usage: 'drive powerloss [--joint knee|ankle] [--task id] [--json]',
        positionals: [0, 0],
        options: {
          ...STUDY,
          ...CHOICE,
          ...JOINT,
          task: {
            type: 'string',
            value: 'id',
            help: 'the task to look at closely; left out: the one of most strides in the schedule',
          },
          ...EVERY,
        },
        examples: [
          ['drive powerloss', 'both joints, every task, the trade in the short, the pack'],
          ['drive powerloss --joint knee --task stair-down', 'the knee, stairs closely'],
        ],
        notes:
          'What the phases do comes from lossOfPower in the leg file: open, shorted, or shorted through a resistance. ' +
          'A knee that is easily back-driven collapses when power is cut in stance.',
      },
      backdrive: {
        summary:
          'what a hand must bring to move each joint, both ways and over its angle; how transparent it is',
        usage: 'drive backdrive [--joint knee|ankle] [--json]',
        positionals: [0, 0],
        options: {
          ...STUDY,
          ...CHOICE,
          ...JOINT,
          ...EVERY,
        },
        examples: [
          ['drive backdrive', 'both joints: open, shorted, and powered with no current'],
          ['drive backdrive --leg tern-50', 'the same with another leg of the study'],
        ],
        notes:
          'The class of transparency is ours, by two ratios that a bench can measure; the gear ratio is a hint.',
      },
      bandwidth: {
        summary: 'how fast current, torque and position go to and fro; touchdown, end stop and tones',
        usage: 'drive bandwidth [--joint knee|ankle] [--stiffness K --damping D --period T] [--json]',
        positionals: [0, 0],
        options: {
          ...STUDY,
          ...CHOICE,
          ...JOINT,
          stiffness: {
            type: 'string',
            value: 'quantity',
            help: 'a spring that a controller renders, such as 200N*m/rad; with --damping and --period',
          },
          damping: { type: 'string', value: 'quantity', help: 'its damper, such as 9N*m*s/rad' },
          period: { type: 'string', value: 'time', help: 'of the controller, such as 1ms' },
          ...EVERY,
        },
        examples: [
          ['drive bandwidth', 'both joints, touchdown against ratio'],
          [
            'drive bandwidth --joint knee --stiffness 200N*m/rad --damping 9N*m*s/rad --period 1ms',
            'and how a rendered spring would follow',
          ],
        ],
        notes:
          'Every bandwidth stands with its amplitude, bus and load. Touchdown keeps the thigh unmoved: an upper bound, ' +
          'for comparing one ratio with another.',
      },
      sound: {
        summary: 'level of a recording against a calibrator, or difference of two recordings',
        usage:
          'drive sound <recording.wav> --calibrator <cal.wav> --level dB [--background w] [--distance d [--at d]] [--json]',
        positionals: [1, 1],
        wants: 'the WAV file',
        options: {
          calibrator: {
            type: 'string',
            value: 'file',
            help: 'WAV of a sound calibrator on the same microphone at the same gain; without it there is no level',
          },
          level: { type: 'string', value: 'dB', help: 'what the calibrator makes, such as 94' },
          against: {
            type: 'string',
            value: 'file',
            help: 'another recording at the same gain: the difference, with or without a calibrator',
          },
          background: {
            type: 'string',
            value: 'file',
            help: 'the same place without the joint; taken off where it is 3 dB or more below',
          },
          distance: { type: 'string', value: 'length', help: 'of the microphone, such as 0.5m' },
          at: { type: 'string', value: 'length', help: 'the level at this distance instead, in the open' },
          channel: { type: 'string', value: 'number', help: 'of a recording that has several, from 1' },
          ...EVERY,
        },
        examples: [
          ['drive sound swing.wav --calibrator cal.wav --level 94 --distance 0.5m', 'mean A-weighted level'],
          [
            'drive sound swing.wav --against other-leg.wav',
            'without a calibrator: which is louder, by how much',
          ],
        ],
        notes:
          'Uncompressed WAV, automatic gain off. A clipped recording is refused. A mean over the whole recording in one ' +
          'room: no measurement by a standard.',
      },
      scan: {
        summary: 'which ratios and motors carry every task, what each ratio costs, and what the others lack',
        usage:
          'drive scan [--joint knee|ankle] [--motors all|name] [--from ratio] [--to ratio] [--csv | --json]',
        positionals: [0, 0],
        options: {
          ...STUDY,
          ...CHOICE,
          ...JOINT,
          motors: {
            type: 'string',
            value: 'name',
            help: 'a motor of motors/*.csv in the place of the leg’s, or all of them; left out: the leg’s own',
          },
          from: { type: 'string', value: 'ratio', help: 'the smallest ratio to look at, such as 9' },
          to: { type: 'string', value: 'ratio', help: 'the largest ratio to look at, such as 50' },
          csv: { type: 'boolean', help: 'one row each motor and ratio as CSV' },
          ...EVERY,
        },
        examples: [
          ['drive scan', 'the leg’s motor behind the usual ratios'],
          ['drive scan --joint ankle --from 15 --to 40', 'one joint, 25 ratios of one factor'],
          ['drive scan --joint knee --motors all', 'every motor of the catalogue'],
        ],
        notes:
          'A ratio carries a task where torque, speed on a sagging bus and gears are at least what it asks, and where ' +
          'requirements on back-driving hold. The gears are the leg file’s at every ratio. Ctrl-C stops.',
      },
      ratio: {
        summary: 'at which ratios each requirement of the study is met, and where most of them are',
        usage: 'drive ratio [--joint knee|ankle] [--csv | --json]',
        positionals: [0, 0],
        options: {
          ...STUDY,
          ...CHOICE,
          ...JOINT,
          csv: { type: 'boolean', help: 'one row each window of each requirement as CSV' },
          ...EVERY,
        },
        examples: [
          ['drive ratio', 'both joints'],
          ['drive ratio --joint ankle --csv', 'one joint, for a spreadsheet'],
        ],
        notes:
          'Requirements whose value the ratio moves, by predicted value, from 3 to 150:1. The gears are the leg file’s ' +
          'at every ratio. Ctrl-C stops.',
      },
      spring: {
        summary: 'the parallel spring that spares the motor most, and what it costs',
        usage: 'drive spring [--joint knee|ankle] [--csv | --json]',
        positionals: [0, 0],
        options: {
          ...STUDY,
          ...CHOICE,
          joint: { type: 'string', value: 'joint', help: 'knee or ankle; left out: the ankle' },
          csv: { type: 'boolean', help: 'the sweep over stiffness as CSV' },
          ...EVERY,
        },
        examples: [
          ['drive spring', 'one-sided and two-sided at the ankle, and the lines for the leg file'],
          ['drive spring --joint knee --json', 'the same at the knee, for a script'],
        ],
        notes: 'The spring of the leg file, where there is one, is judged beside them.',
      },
      assist: {
        summary: 'a wearer with strength of their own: what a share of the moment leaves to them',
        usage: 'drive assist [--share n] [--joint knee|ankle] [--csv | --json]',
        positionals: [0, 0],
        options: {
          ...STUDY,
          ...CHOICE,
          share: { type: 'string', value: 'n', help: 'share of the human moment, 0 to 1; left out: 0.3' },
          ...JOINT,
          csv: { type: 'boolean', help: 'the table of tasks as CSV' },
          ...EVERY,
        },
        examples: [
          ['drive assist', 'three tenths of the moment, both joints'],
          ['drive assist --share 0.5 --joint ankle', 'half of it at the ankle'],
          ['drive assist --leg tern-100', 'what a high ratio charges the wearer with'],
        ],
        notes: 'For an orthosis or an exoskeleton joint: the limb is the wearer’s own, in swing as well.',
      },
      tolerance: {
        summary: 'how likely each requirement holds, what dominates, and which bench test pays next',
        usage: 'drive tolerance [--draws n] [--seed n] [--stated] [--csv | --json]',
        positionals: [0, 0],
        options: {
          ...STUDY,
          ...CHOICE,
          draws: { type: 'string', value: 'n', help: 'legs and people to draw; left out: 2000' },
          seed: { type: 'string', value: 'n', help: 'whole number that fixes the draws; left out: 1' },
          stated: { type: 'boolean', help: "the leg file's own spreads only: nothing typical, nobody else" },
          csv: { type: 'boolean', help: 'a row a requirement as CSV' },
          ...EVERY,
        },
        examples: [
          ['drive tolerance', 'every requirement as a probability, then the tests worth doing'],
          ['drive tolerance --stated --draws 200', "a quick look at the leg file's own spreads"],
          [
            'drive tolerance --draws 10000 --seed 7 --json',
            'for a report; the same seed gives the same draws',
          ],
        ],
        notes:
          'Ctrl-C stops. Numbers of the joints that came without a spread get what is typical of their kind, marked ' +
          'COMMON PRACTICE. People are drawn around the mean person, so the coverage of the tasks is not used here.',
      },
    },
  },
  control: {
    summary: 'what software makes of this drive',
    verbs: {
      impedance: {
        summary:
          'spring and damper asked for and what the joint renders; stable, passive, and what tuning cannot mend',
        usage:
          'control impedance [--joint knee|ankle] [--stiffness K] [--damping D] [--filter f] [--task id] [--csv | --json]',
        positionals: [0, 0],
        options: {
          ...STUDY,
          ...CHOICE,
          ...JOINT,
          stiffness: {
            type: 'string',
            value: 'quantity',
            help: 'the spring the joint is to be, such as 200N*m/rad; left out: 3.3 N·m/rad per kg of the wearer',
          },
          damping: {
            type: 'string',
            value: 'quantity',
            help: 'its damper, such as 4N*m*s/rad; left out: 0.048 N·m·s/rad per kg',
          },
          filter: {
            type: 'string',
            value: 'frequency',
            help: 'cut-off of the software’s filter of speed; left out: 60Hz',
          },
          task: {
            type: 'string',
            value: 'id',
            help: 'the stance of the tuning burden; left out: the task of most strides in the schedule',
          },
          csv: { type: 'boolean', help: 'asked for and rendered over frequency as CSV' },
          ...EVERY,
        },
        examples: [
          ['control impedance', 'both joints at the middle of what a walking ankle was measured to be'],
          ['control impedance --joint ankle --stiffness 600N*m/rad --damping 4N*m*s/rad', 'a late stance'],
          ['control impedance --leg tern-100', 'what a high ratio makes of the same'],
        ],
        notes:
          'Period and delay come from `controllerHardware` of the leg file, the lag from `currentBandwidth`, the steps from ' +
          '`encoder`. Stable and passive are two verdicts: a stable joint may still ring with what it touches.',
      },
      stance: {
        summary:
          'springs and dampers that follow stance: by sub-phase and over phase, how well, at what energy',
        usage: 'control stance [--joint knee|ankle] [--task id[,id]] [--csv | --json]',
        positionals: [0, 0],
        options: {
          ...STUDY,
          ...CHOICE,
          joint: { type: 'string', value: 'joint', help: 'knee or ankle; left out: the ankle' },
          task: {
            type: 'string',
            value: 'id',
            help: 'one task or several with commas, your own strides too; left out: all level walking',
          },
          csv: { type: 'boolean', help: 'the schedule by sub-phase as CSV' },
          ...EVERY,
        },
        examples: [
          ['control stance', 'one schedule for the ankle at every walking speed of the study'],
          ['control stance --task walk-natural', 'a schedule of its own for one task'],
          ['control stance --joint knee --json', 'the knee, with both kinds of schedule, for a script'],
        ],
        notes:
          'A quasi-stiffness, fitted to walking: it repeats the mean stride, and is not what a push would meet. ' +
          'Strides that do not tell stiffness, equilibrium and damping apart are refused.',
      },
      swing: {
        summary: 'knee and ankle led by the wearer’s thigh: how closely, whether it stops with them, what if',
        usage:
          'control swing [--task id] [--phase latch|piecewise|plane|oscillator] [--finish on|off] [--speed v [--incline a]] [--csv | --json]',
        positionals: [0, 0],
        options: {
          ...STUDY,
          ...CHOICE,
          task: { type: 'string', value: 'id', help: 'one task; left out: every task with a stride' },
          phase: {
            type: 'string',
            value: 'name',
            help: 'how the phase is read: latch, piecewise, plane or oscillator; left out: latch',
          },
          finish: {
            type: 'string',
            value: 'on|off',
            help: 'complete the swing where the thigh no longer leads; left out: on, off on stairs',
          },
          speed: {
            type: 'string',
            value: 'v',
            help: 'instead: thigh, knee and ankle of the study’s walking at this speed, such as 1.2m/s',
          },
          incline: {
            type: 'string',
            value: 'a',
            help: 'and on this slope, up ahead positive, such as 3deg; left out: level. Refused beyond what was fitted',
          },
          csv: { type: 'boolean', help: 'the table of tasks as CSV' },
          ...EVERY,
        },
        examples: [
          ['control swing', 'every task by the latched thigh map'],
          ['control swing --task walk-natural --json', 'one swing tick by tick, for a script'],
          ['control swing --phase oscillator', 'the same by another phase, to compare'],
          ['control swing --speed 1.2m/s', 'the fit over all walking tasks at a speed that none of them has'],
        ],
        notes:
          'Period and delays come from controllerHardware and thighSensor of the leg file. A task whose thigh goes less ' +
          'than 15° from toe-off to its peak is refused.',
      },
      sensor: {
        summary: 'what each error of the thigh sensor does to thigh, phase and foot, and what to mend first',
        usage: 'control sensor [--task id] [--csv | --json]',
        positionals: [0, 0],
        options: {
          ...STUDY,
          ...CHOICE,
          task: {
            type: 'string',
            value: 'id',
            help: 'one task; left out: every task with a stride, the budget of the one of most strides',
          },
          csv: { type: 'boolean', help: 'budget and tasks as CSV' },
          ...EVERY,
        },
        examples: [
          ['control sensor', 'the budget of the commonest task, and every task with all errors'],
          ['control sensor --task walk-fast --json', 'one task, for a script'],
        ],
        notes:
          'The sensor comes from `thighSensor` of the leg file: pose, rate, noise, bias, drift, delay and what lies between it ' +
          'and the thigh. What the file lacks is named.',
      },
      estimate: {
        summary: 'walking speed and slope as the leg reads them: error, slopes, strides until they are known',
        usage: 'control estimate [--task id] [--csv | --json]',
        positionals: [0, 0],
        options: {
          ...STUDY,
          ...CHOICE,
          task: {
            type: 'string',
            value: 'id',
            help: 'one task; left out: every task with a stride, slopes and changes of the one of most strides',
          },
          csv: { type: 'boolean', help: 'level ground and slopes as CSV' },
          ...EVERY,
        },
        examples: [
          ['control estimate', 'every walking task, slopes, changes of speed and slope'],
          ['control estimate --task walk-slow --json', 'one task, for a script'],
        ],
        notes:
          'From thigh, knee and ankle angle and from load alone, stance by stance. Outside the speeds of the study’s level ' +
          'walking and 10° of slope it refuses.',
      },
      check: {
        summary: 'the controller as data: states, transitions, faults, limits, and what is wrong with it',
        usage: 'control check [--controller name] [--json]',
        positionals: [0, 0],
        options: { ...STUDY, ...CHOICE, ...CONTROLLER, ...EVERY },
        examples: [
          ['control check', 'the study’s controller on its leg; exit 1 when something is wrong'],
          ['control check --leg tern-100', 'the same software behind a high ratio'],
          ['control check --json', 'the whole machine as data'],
        ],
        notes:
          'Traps, ways open at once, chatter, unreachable states, unwatched sensors, late reactions, unstable gains. ' +
          'Postures are looked at on a grid, and nothing that moves: nothing found is no proof.',
      },
      export: {
        summary: 'the controller as C99 for the leg: tables, test vectors, a harness',
        usage: 'control export --out folder [--controller name] [--ticks n] [--seed n] [--json]',
        positionals: [0, 0],
        options: {
          ...STUDY,
          ...CHOICE,
          ...CONTROLLER,
          out: { type: 'string', value: 'folder', help: 'empty or not there yet' },
          ticks: { type: 'string', value: 'n', help: 'of the test vectors; left out: 20000' },
          seed: { type: 'string', value: 'n', help: 'whole number that fixes them; left out: 1' },
          ...EVERY,
        },
        examples: [
          ['control export --out tern-firmware', 'float32, fixed rate, no allocation; nothing is flashed'],
          ['control export --out tern-firmware --ticks 200000', 'with longer test vectors'],
        ],
        notes:
          'A controller in which `control check` finds something is not handed over. Both fingerprints, of the controller and of ' +
          'this build of it, are in the files: write them into every log.',
      },
      replay: {
        summary:
          'any controller version over a recorded log: torque, state and phase beside what happened then',
        usage: 'control replay <log.csv> [--controller name] [--json]',
        positionals: [1, 1],
        wants: 'the log',
        options: { ...STUDY, ...CHOICE, ...CONTROLLER, ...EVERY },
        examples: [
          ['control replay walk-07.csv', 'the study’s controller over what the leg has read'],
          ['control replay walk-07.csv --controller next', 'what another version would have done'],
        ],
        notes: 'The first difference is named with its time. What the leg read is taken as it was.',
      },
    },
  },
  walk: {
    summary: 'the leg walks with its wearer, in a model',
    verbs: {
      run: {
        summary:
          'strides of the whole leg on its ground: tracking, ground, socket, hip, push-off, heat, energy',
        usage:
          'walk run [--speed v,…] [--strides n] [--step t] [--thigh prescribed|led] [--ground treadmill|overground] [--control clock|study] [--csv | --json]',
        positionals: [0, 0],
        options: {
          ...STUDY,
          ...CHOICE,
          speed: {
            type: 'string',
            value: 'v',
            help: 'such as 1.1m/s, several with commas; left out: 0.8, 1.1 and 1.4 m/s',
          },
          strides: { type: 'string', value: 'n', help: 'strides of each walk; left out: 20' },
          step: {
            type: 'string',
            value: 't',
            help: 'of the integration, a whole part of the controller’s period; left out: 0.25ms',
          },
          thigh: {
            type: 'string',
            value: 'how',
            help: 'prescribed: it does what the stride does; led: a hip leads it; left out: both, as a bracket',
          },
          ground: { type: 'string', value: 'name', help: 'treadmill or overground; left out: treadmill' },
          control: {
            type: 'string',
            value: 'name',
            help: 'clock: stance fitted to this stride, paced by time; study: the controller the study names; left out: clock',
          },
          csv: { type: 'boolean', help: 'one row a stride as CSV' },
          ...EVERY,
        },
        examples: [
          ['walk run', 'three speeds, both ways of leading the thigh'],
          ['walk run --speed 1.1m/s --strides 5 --thigh led', 'a short one'],
          ['walk run --leg tern-50 --speed 1.1m/s --json', 'another leg of the study, for a script'],
        ],
        notes:
          'The energy is balanced at every step; a step for which it misses more than half a per cent of the work moved is ' +
          'refused. Ctrl-C stops between two strides. Exit 1 where a walk ended before its time.',
      },
      price: {
        summary:
          'what everything costs the wearer’s hip: joules a stride, the dearest first, and what to measure',
        usage: 'walk price [--of words] [--speed v] [--strides n] [--step t] [--json]',
        positionals: [0, 0],
        options: {
          ...STUDY,
          ...CHOICE,
          of: {
            type: 'string',
            value: 'words',
            help: 'only what has one of these in its name, with commas, such as ratio,foot; left out: all',
          },
          ...SPEED,
          strides: {
            type: 'string',
            value: 'n',
            help: 'strides of each walk, 6 or more; the last half counts; left out: 8',
          },
          ...STEP,
          ...EVERY,
        },
        examples: [
          [
            'walk price',
            'ratio, mass, springs, dampers, motors, gears, friction, delays, alignment at 1.1 m/s',
          ],
          ['walk price --of ratio,mass', 'ratios and masses alone, in a tenth of the time'],
          ['walk price --leg tern-50 --speed 0.8m/s --json', 'another leg, slowly, for a script'],
        ],
        notes:
          'Each number is moved both ways by two step sizes and the leg walked anew, thigh prescribed and thigh led: some 300 ' +
          'walks. Where the steps disagree there is no price. Ctrl-C stops.',
      },
      shortlist: {
        summary:
          'motors and ratios that the ratio scan lets through, walked and ranked by hip, heat or margin',
        usage:
          'walk shortlist [--legs a,b] [--ratios n,…] [--motors all|name,…] [--margin m] [--by hip|heat|margin] [--workers n] [--json]',
        positionals: [0, 0],
        options: {
          ...STUDY,
          wearer: CHOICE.wearer,
          legs: { type: 'string', value: 'names', help: 'legs of the study, with commas; left out: its own' },
          ratios: { type: 'string', value: 'n,…', help: 'at knee and ankle; left out: 25 from 4 to 100' },
          motors: {
            type: 'string',
            value: 'names',
            help: 'of the catalogue, with commas, or all; left out: the leg’s own',
          },
          margin: {
            type: 'string',
            value: 'm',
            help: 'least limit ÷ need of the ratio scan, 0 for whatever walks; left out: 1',
          },
          by: { type: 'string', value: 'what', help: 'hip, heat or margin; left out: hip' },
          ...SPEED,
          strides: {
            type: 'string',
            value: 'n',
            help: 'strides of each walk, 6 or more; the last half counts; left out: 10',
          },
          ...STEP,
          workers: {
            type: 'string',
            value: 'n',
            help: 'threads; left out: as many as the machine runs at once',
          },
          ...EVERY,
        },
        examples: [
          ['walk shortlist', 'the leg’s own motors at every pair of ratios that carries the tasks'],
          ['walk shortlist --motors all --by heat', 'every motor of the catalogue, the coolest first'],
          ['walk shortlist --ratios 9,22,50 --margin 0 --json', 'three ratios, whatever they carry'],
        ],
        notes:
          'Each walk is kept in results/ as it is done, under the fingerprint of what was walked. Ctrl-C stops at once; the same ' +
          'command goes on from there. The order does not depend on the number of threads.',
      },
      powercut: {
        summary:
          'power lost at every part of the stride: how far the knee gives, where it lands, how the hip sinks',
        usage: 'walk powercut [--speed v] [--step t] [--thigh prescribed|led] [--csv | --json]',
        positionals: [0, 0],
        options: {
          ...STUDY,
          ...CHOICE,
          ...SPEED,
          ...STEP,
          thigh: { type: 'string', value: 'how', help: 'prescribed or led; left out: prescribed' },
          csv: { type: 'boolean', help: 'one row a cut as CSV' },
          ...EVERY,
        },
        examples: [
          ['walk powercut', 'every 5 % of the stride at 1.1 m/s'],
          ['walk powercut --leg tern-9 --json', 'another leg of the study, for a script'],
        ],
        notes:
          'The phases do what lossOfPower in the leg file says. Thigh and other leg go on as before, which nobody’s would: ' +
          'it compares legs and shorts, and rehearses no fall.',
      },
      faults: {
        summary: 'every fault at every part of the stride: survived, stumbled, fell',
        usage: 'walk faults [--speed v,…] [--every n] [--step t] [--thigh prescribed|led] [--csv | --json]',
        positionals: [0, 0],
        options: {
          ...STUDY,
          ...CHOICE,
          speed: {
            type: 'string',
            value: 'v',
            help: 'such as 1.1m/s, several with commas; left out: 0.8, 1.1 and 1.4 m/s',
          },
          every: { type: 'string', value: 'n', help: 'every so many % of the stride; left out: 2' },
          ...STEP,
          thigh: { type: 'string', value: 'how', help: 'prescribed or led; left out: led' },
          csv: { type: 'boolean', help: 'one row a fault and place as CSV' },
          ...EVERY,
        },
        examples: [
          ['walk faults', 'the whole map: a minute or so'],
          ['walk faults --speed 1.1m/s --every 10', 'a coarse one'],
        ],
        notes:
          'The controller is the one that the study names. Faults of sensors, power, pack, windings and battery set out from a ' +
          'sound walk, each to its next two contacts. The wearer goes on as if nothing had happened: it compares, and rehearses ' +
          'no fall. Ctrl-C stops.',
      },
      scenario: {
        summary: 'walks that the study keeps: pace, ground, faults; which stand, which fall and why',
        usage: 'walk scenario [<name> …] [--step t] [--csv | --json]',
        positionals: [0, 100],
        options: {
          ...STUDY,
          ...CHOICE,
          ...STEP,
          csv: { type: 'boolean', help: 'the log of one walk, a row a period of the controller, as CSV' },
          ...EVERY,
        },
        examples: [
          ['walk scenario', 'all of them'],
          ['walk scenario stop-and-start', 'one, stride by stride'],
          ['walk scenario down-5-untold --csv', 'its log up to the fall'],
        ],
        notes:
          'A scenario is scenarios/<name>.yaml of the study. The wearer does not react: it compares legs and controllers, and ' +
          'rehearses no fall. Exit 1 where a walk ended before its time.',
      },
      compare: {
        summary: 'legs of the study side by side: what each does to hip, socket, push-off and battery',
        usage:
          'walk compare <leg> <leg> … [--speed v] [--strides n] [--step t] [--thigh prescribed|led] [--csv | --json]',
        positionals: [2, 12],
        wants: 'two legs or more',
        options: {
          ...STUDY,
          wearer: CHOICE.wearer,
          ...SPEED,
          strides: { type: 'string', value: 'n', help: 'strides of each walk; left out: 20' },
          ...STEP,
          thigh: { type: 'string', value: 'how', help: 'prescribed or led; left out: both, as a bracket' },
          csv: { type: 'boolean', help: 'one row a leg as CSV' },
          ...EVERY,
        },
        examples: [
          ['walk compare tern-9 tern tern-50 tern-100', 'the same leg at four ratios'],
          ['walk compare tern tern-50 --speed 1.4m/s --json', 'two of them faster, for a script'],
        ],
        notes: 'Same wearer, same stride, same way of fitting the controller: only the leg file differs.',
      },
    },
  },
  evidence: {
    summary: 'which requirements hold, by how much, on what ground',
    verbs: {
      ledger: {
        summary: 'required, predicted, margin, interval and state of each requirement',
        usage: 'evidence ledger [--why requirement] [--kept] [--strict] [--csv | --json]',
        positionals: [0, 0],
        options: {
          ...STUDY,
          ...CHOICE,
          why: {
            type: 'string',
            value: 'requirement',
            help: 'one line with its inputs, formula, source and cautions',
          },
          kept: {
            type: 'boolean',
            help: 'walk nothing: what walks judge stands as it was kept, stale where an input has changed since',
          },
          strict: { type: 'boolean', help: 'exit 3 when a requirement is not met, for scripts' },
          csv: { type: 'boolean', help: 'the table as CSV' },
          ...EVERY,
        },
        examples: [
          ['evidence ledger', 'the whole ledger'],
          ['evidence ledger --why ankle-breakaway', 'where one number comes from'],
          ['evidence ledger --strict --json > ledger.json', 'in a script: exit 3 when one is not met'],
        ],
        notes:
          'open: inside the bound, but its interval is not, or one end of a walk’s bracket is not; or not predicted yet, and it ' +
          'says why. What walks judge is walked first where results/walks/ does not hold it; Ctrl-C stops, and what was walked is kept.',
      },
    },
  },
  study: {
    summary: 'the folder that holds it all',
    verbs: {
      new: {
        summary: 'start a study from the demo study',
        usage: 'study new <folder>',
        positionals: [1, 1],
        wants: 'the new folder',
        options: { ...EVERY },
        examples: [['study new my-leg', 'copies the demo study, marked as demo data until you replace it']],
        notes: 'A folder that has something in it is refused.',
      },
      check: {
        summary: 'every fault in the files of a study, with its place and how to mend it',
        usage: 'study check [folder]',
        positionals: [0, 1],
        options: { ...STUDY, ...EVERY },
        examples: [
          ['study check my-leg', 'changes nothing; exit 1 when there is a fault'],
          ['study check my-leg --json', 'the faults as data'],
        ],
        notes: '',
      },
      migrate: {
        summary: 'bring an older study folder to the format this version reads',
        usage: 'study migrate [folder]',
        positionals: [0, 1],
        options: { ...STUDY, ...EVERY },
        examples: [['study migrate my-leg', 'comments are kept; the originals stay beside']],
        notes: '',
      },
    },
  },
};
