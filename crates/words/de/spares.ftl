### spares
