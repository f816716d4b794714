from .begin import Begun as Begun
from .begin import begin as begin
from .begin import begun_summary as begun_summary
