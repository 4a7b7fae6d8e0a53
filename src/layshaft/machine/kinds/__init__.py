"""The kinds of drive, stage, load and own listing a machine file may name."""

from __future__ import annotations

from layshaft.machine.kinds.bodies import BODIES as BODIES
from layshaft.machine.kinds.bodies import Bars as Bars
from layshaft.machine.kinds.bodies import Blocks as Blocks
from layshaft.machine.kinds.bodies import Disc as Disc
from layshaft.machine.kinds.bodies import Holes as Holes
from layshaft.machine.kinds.bodies import Piece as Piece
from layshaft.machine.kinds.bodies import Ring as Ring
from layshaft.machine.kinds.bodies import Rods as Rods
from layshaft.machine.kinds.bodies import Spheres as Spheres
from layshaft.machine.kinds.bodies import Weighed as Weighed
from layshaft.machine.kinds.brakes import BandBrake as BandBrake
from layshaft.machine.kinds.brakes import BlockBrake as BlockBrake
from layshaft.machine.kinds.brakes import Brake as Brake
from layshaft.machine.kinds.brakes import DiscBrake as DiscBrake
from layshaft.machine.kinds.clutches import DogClutch as DogClutch
from layshaft.machine.kinds.clutches import FrictionClutch as FrictionClutch
from layshaft.machine.kinds.clutches import ShearPin as ShearPin
from layshaft.machine.kinds.clutches import SlipClutch as SlipClutch
from layshaft.machine.kinds.drives import Crank as Crank
from layshaft.machine.kinds.drives import Drive as Drive
from layshaft.machine.kinds.drives import EndlessLoop as EndlessLoop
from layshaft.machine.kinds.drives import FallingWeight as FallingWeight
from layshaft.machine.kinds.drives import Motor as Motor
from layshaft.machine.kinds.drives import Pedals as Pedals
from layshaft.machine.kinds.drives import Suspended as Suspended
from layshaft.machine.kinds.fixings import FIXINGS as FIXINGS
from layshaft.machine.kinds.fixings import BoltedJoint as BoltedJoint
from layshaft.machine.kinds.fixings import DowelPins as DowelPins
from layshaft.machine.kinds.fixings import FilletWeld as FilletWeld
from layshaft.machine.kinds.fixings import Fixing as Fixing
from layshaft.machine.kinds.frames import FRAMES as FRAMES
from layshaft.machine.kinds.frames import BeamMember as BeamMember
from layshaft.machine.kinds.frames import Carried as Carried
from layshaft.machine.kinds.frames import ColumnMember as ColumnMember
from layshaft.machine.kinds.frames import Member as Member
from layshaft.machine.kinds.hubs import HUBS as HUBS
from layshaft.machine.kinds.hubs import Clamp as Clamp
from layshaft.machine.kinds.hubs import CrossPin as CrossPin
from layshaft.machine.kinds.hubs import HeldHub as HeldHub
from layshaft.machine.kinds.hubs import Hub as Hub
from layshaft.machine.kinds.hubs import PressFit as PressFit
from layshaft.machine.kinds.hubs import SetScrews as SetScrews
from layshaft.machine.kinds.hubs import TaperClamp as TaperClamp
from layshaft.machine.kinds.listed import PARTS as PARTS
from layshaft.machine.kinds.listed import AngularContactPart as AngularContactPart
from layshaft.machine.kinds.listed import BearingPart as BearingPart
from layshaft.machine.kinds.listed import BushPart as BushPart
from layshaft.machine.kinds.listed import ChainPart as ChainPart
from layshaft.machine.kinds.listed import CouplingPart as CouplingPart
from layshaft.machine.kinds.listed import OneWayHubPart as OneWayHubPart
from layshaft.machine.kinds.listed import Part as Part
from layshaft.machine.kinds.listed import PinPart as PinPart
from layshaft.machine.kinds.listed import SectionPart as SectionPart
from layshaft.machine.kinds.listed import SteelPart as SteelPart
from layshaft.machine.kinds.listed import SuspensionPart as SuspensionPart
from layshaft.machine.kinds.listed import SynchronousBeltPart as SynchronousBeltPart
from layshaft.machine.kinds.listed import TaperClampPart as TaperClampPart
from layshaft.machine.kinds.listed import TaperedRollerPart as TaperedRollerPart
from layshaft.machine.kinds.loads import PERIODIC as PERIODIC
from layshaft.machine.kinds.loads import Allowance as Allowance
from layshaft.machine.kinds.loads import Bodied as Bodied
from layshaft.machine.kinds.loads import Cam as Cam
from layshaft.machine.kinds.loads import EddyBrake as EddyBrake
from layshaft.machine.kinds.loads import FanBrake as FanBrake
from layshaft.machine.kinds.loads import Flywheel as Flywheel
from layshaft.machine.kinds.loads import Load as Load
from layshaft.machine.kinds.loads import Pull as Pull
from layshaft.machine.kinds.loads import Pulses as Pulses
from layshaft.machine.kinds.loads import Steady as Steady
from layshaft.machine.kinds.loads import TorqueByAngle as TorqueByAngle
from layshaft.machine.kinds.loads import Turntable as Turntable
from layshaft.machine.kinds.programme import Act as Act
from layshaft.machine.kinds.programme import Braking as Braking
from layshaft.machine.kinds.programme import Programme as Programme
from layshaft.machine.kinds.programme import WindingBout as WindingBout
from layshaft.machine.kinds.springs import SPRINGS as SPRINGS
from layshaft.machine.kinds.springs import CoilSpring as CoilSpring
from layshaft.machine.kinds.springs import CompressionSpring as CompressionSpring
from layshaft.machine.kinds.springs import ExtensionSpring as ExtensionSpring
from layshaft.machine.kinds.springs import SpiralSpring as SpiralSpring
from layshaft.machine.kinds.springs import Spring as Spring
from layshaft.machine.kinds.springs import TorsionSpring as TorsionSpring
from layshaft.machine.kinds.stages import BevelPair as BevelPair
from layshaft.machine.kinds.stages import Coupling as Coupling
from layshaft.machine.kinds.stages import GearPair as GearPair
from layshaft.machine.kinds.stages import Idler as Idler
from layshaft.machine.kinds.stages import InLine as InLine
from layshaft.machine.kinds.stages import Joining as Joining
from layshaft.machine.kinds.stages import OneWayHub as OneWayHub
from layshaft.machine.kinds.stages import Ratchet as Ratchet
from layshaft.machine.kinds.stages import RollerChain as RollerChain
from layshaft.machine.kinds.stages import Stage as Stage
from layshaft.machine.kinds.stages import SynchronousBelt as SynchronousBelt
from layshaft.machine.kinds.stages import UniversalJoint as UniversalJoint
from layshaft.machine.kinds.stages import VBelt as VBelt
from layshaft.machine.kinds.stages import Wheels as Wheels
from layshaft.machine.kinds.stages import Worm as Worm

DRIVES: dict[str, type] = {
    "falling weight": FallingWeight,
    "endless loop": EndlessLoop,
    "crank": Crank,
    "pedals": Pedals,
    "motor": Motor,
}
LOADS: dict[str, type] = {
    "steady": Steady,
    "turntable": Turntable,
    "pulses": Pulses,
    "torque by angle": TorqueByAngle,
    "cam": Cam,
    "fan brake": FanBrake,
    "eddy brake": EddyBrake,
    "flywheel": Flywheel,
    "disc brake": DiscBrake,
    "block brake": BlockBrake,
    "band brake": BandBrake,
    "pull": Pull,
    "allowance": Allowance,
}
STAGES: dict[str, type] = {
    "roller chain": RollerChain,
    "synchronous belt": SynchronousBelt,
    "V belt": VBelt,
    "gear pair": GearPair,
    "bevel pair": BevelPair,
    "worm": Worm,
    "coupling": Coupling,
    "universal joint": UniversalJoint,
    "ratchet": Ratchet,
    "one-way hub": OneWayHub,
    "slip clutch": SlipClutch,
    "shear pin": ShearPin,
    "friction clutch": FrictionClutch,
    "dog clutch": DogClutch,
}
