from .service_life import ServiceLife as ServiceLife
from .soil_loss import rain_erosivity as rain_erosivity
from .soil_loss import silt_m3 as silt_m3
from .soil_loss import slope_factor as slope_factor
from .soil_loss import soil_loss_t_ha as soil_loss_t_ha
